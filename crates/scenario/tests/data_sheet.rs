//! A data sheet typed as it stands: every convention makes the same drive, what follows is worked out, what contradicts is refused.

use std::f64::consts::TAU;

use tautleaf_physics::{CycleOptions, Door, Figure, Parameters, cycle};
use tautleaf_scenario::{catalogue, commented_drive, parse_catalogue};
use tautleaf_trials::choose::Drive;
use tautleaf_trials::choose::catalogue::DRIVE_FIELDS;
use tautleaf_trials::choose::data_sheet::SHEET_FIELDS;
use tautleaf_trials::choose::fit::fitted;

/// What no convention changes.
const REST: &str = "schema = 1\n[[drive]]\nname = \"Mine\"\nmotor = \"brushless\"\ngear = \"planetary\"\nvoltage = \"24 V\"\n\
    rotor_inertia = \"4e-5 kg m2\"\nratio = \"8:1\"\nefficiency = \"90 %\"\npeak_torque = \"5 N m\"\npulley_diameter = \"45 mm\"\n\
    shaft_load = \"800 N\"\nrated_speed = \"2500 min-1\"\nmaximum_speed = \"3500 rpm\"\n";
const WARMTH: &str =
    "thermal_resistance_winding_housing = \"2 K/W\"\nthermal_resistance_housing_ambient = \"3 K/W\"\n";

fn drive(sheet: &str) -> Drive {
    let read = parse_catalogue(&format!("{REST}{sheet}"), "mine.toml");
    read.unwrap_or_else(|error| panic!("{error}\n{sheet}")).drives.remove(0)
}

fn problems(text: &str) -> String {
    parse_catalogue(text, "mine.toml").expect_err(text).to_string()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

/// One motor: 0.25 ohm and 0.1 mH a phase, 3 A RMS rated and 9 A peak, 0.08 N m/A RMS; in the conventions of six data sheets.
fn one_motor() -> Vec<String> {
    let root = f64::sqrt;
    // V s/rad as V/1000 min-1; K_t,rms = 3 E_rms/w of a phase (power of three phases), V_ll = sqrt(3) V_ph, amplitude sqrt(2) RMS
    let per_thousand = 1000.0 * TAU / 60.0;
    let by_torque = |words: &str, resistance: &str, inductance: &str, current: f64| {
        format!(
            "{words}\n{resistance}\n{inductance}\nrated_current = \"{} A\"\npeak_current = \"{} A\"\ntorque_constant = \"{} N m/A\"\n\
             {WARMTH}",
            3.0 * current,
            9.0 * current,
            0.08 / current
        )
    };
    let by_voltage = |words: &str, volts: f64, current: f64| {
        format!(
            "{words}\nterminal_resistance = \"0.5 ohm\"\n{}\nrated_current = \"{} A\"\npeak_current = \"{} A\"\n\
             voltage_constant = \"{} V/1000 min-1\"\n{WARMTH}",
            if words.contains("phase") { "inductance = \"0.1 mH\"" } else { "inductance = \"0.2 mH\"" },
            3.0 * current,
            9.0 * current,
            volts * per_thousand
        )
    };
    let (phase, between) = ("measured = \"phase\"", "measured = \"line-to-line\"");
    vec![
        by_torque(
            &format!("currents = \"rms\"\n{phase}"),
            "resistance = \"0.25 ohm\"",
            "inductance = \"0.1 mH\"",
            1.0,
        ),
        by_torque(
            &format!("currents = \"amplitude\"\n{between}"),
            "terminal_resistance = \"0.5 ohm\"",
            "inductance = \"0.2 mH\"",
            root(2.0),
        ),
        by_voltage(&format!("currents = \"rms\"\nvoltages = \"rms\"\n{phase}"), 0.08 / 3.0, 1.0),
        by_voltage(
            &format!("currents = \"rms\"\nvoltages = \"rms\"\n{between}"),
            0.08 / 3.0 * root(3.0),
            1.0,
        ),
        by_voltage(
            &format!("currents = \"amplitude\"\nvoltages = \"amplitude\"\n{between}"),
            0.08 / 3.0 * root(6.0),
            root(2.0),
        ),
        // one direct current with the same loss, 3 R_ph I^2 = R i^2
        by_torque(
            "currents = \"direct\"",
            "terminal_resistance = \"0.5 ohm\"",
            "inductance = \"0.2 mH\"",
            root(1.5),
        ),
    ]
}

/// Loss 3 R_ph I^2 = 3 x 0.25 x 9 = 6.75 W, torque K_t I = 0.24 N m; E_ll = sqrt(2) sqrt(3) K_t/3 = sqrt(2/3) K_t for each rad/s:
/// textbook relations of a balanced winding in star (Fitzgerald, Kingsley and Umans, Electric Machinery, from memory).
#[test]
fn the_same_motor_in_every_convention_has_the_same_loss_torque_and_voltage() {
    for sheet in one_motor() {
        let drive = drive(&sheet);
        let loss = drive.rated_current_a.powi(2) * drive.resistance_ohm;
        let torque = drive.rated_current_a * drive.torque_constant_n_m_per_a;
        assert!(near(loss, 6.75) && near(torque, 0.24), "{loss} W, {torque} N m\n{sheet}");
        assert!(near(drive.torque_constant_n_m_per_a, (2.0_f64 / 3.0).sqrt() * 0.08), "{sheet}");
        assert!(near(drive.peak_current_a, 3.0 * drive.rated_current_a), "{sheet}");
        assert!(near(drive.inductance_h, 0.2e-3) && near(drive.inner_rise_share, 0.4), "{sheet}");
    }
}

/// 0.01 K: numbers that differ in their last digit may move an encoder count by one tick.
#[test]
fn the_same_motor_in_every_convention_warms_alike_on_a_door() {
    let door = Door::try_from(Parameters::default()).expect("the default door");
    let winding = |sheet: &str| {
        let fitted = Door::try_from(fitted(&door, &drive(sheet), &catalogue().belts[0])).expect("it fits");
        cycle(&fitted, &CycleOptions::default()).figures.get(Figure::WindingTemperature).expect("it is there")
    };
    let sheets = one_motor();
    let first = winding(&sheets[0]);
    assert!(first > door.parameters().duty.ambient_c + 0.1, "{first} C");
    for sheet in &sheets[1..] {
        let found = winding(sheet);
        assert!((found - first).abs() < 0.01, "{found} C, {first} C\n{sheet}");
    }
    // and a convention that is mistaken for another one is another motor, of half the loss
    let mistaken = winding(&sheets[0].replace("\"phase\"", "\"line-to-line\""));
    assert!((mistaken - first).abs() > 0.1, "{mistaken} C, {first} C");
}

/// K = (24 V - 0.5 ohm x 0.4 A)/340 rad/s = 0.07 V s, friction K i_0 = 0.028 N m, i = (0.252 + 0.028)/0.07 = 4 A (arithmetic);
/// rise = P R_th (1 + 15 a)/(1 - P R_th a), P = 16 x 0.5 = 8 W, R_th = 5 K/W, a = 0.00385: 42.31/0.846 = 50.01 K.
#[test]
fn what_follows_is_worked_out_and_said() {
    let sheet = format!(
        "currents = \"direct\"\nterminal_resistance = \"0.5 ohm\"\ninductance = \"0.2 mH\"\npeak_current = \"9 A\"\n\
         rated_torque = \"0.252 N m\"\nno_load_speed = \"340 rad/s\"\nno_load_current = \"0.4 A\"\n{WARMTH}"
    );
    let mine = drive(&sheet);
    assert!(near(mine.torque_constant_n_m_per_a, 0.07) && near(mine.rotor_friction_n_m, 0.028), "{mine:?}");
    assert!(near(mine.rated_current_a, 4.0) && near(mine.inner_rise_share, 0.4), "{mine:?}");
    assert!((mine.rated_rise_k - 50.01).abs() < 0.01, "{}", mine.rated_rise_k);
    let said: Vec<&str> = mine.worked_out.iter().map(|worked| worked.key).collect();
    for key in ["torque_constant", "rotor_friction", "rated_current", "rated_rise", "inner_rise_share"] {
        assert!(said.contains(&format!("drive.{key}").as_str()), "{key}: {said:?}");
    }
    // the network of the model comes back to that rise: P(40 C + rise) R_th
    let hot = 8.0 * (1.0 + 0.00385 * (15.0 + mine.rated_rise_k));
    assert!(near(hot * 5.0, mine.rated_rise_k), "{} K, {}", hot * 5.0, mine.rated_rise_k);
    // without the largest speed and the rated one: 66 W/0.252 N m = 261.9 rad/s = 2501 1/min; never above the 3247 without load
    let text = format!("{REST}{sheet}rated_power = \"66 W\"\n")
        .replace("rated_speed = \"2500 min-1\"\nmaximum_speed = \"3500 rpm\"\n", "");
    let mine = parse_catalogue(&text, "mine.toml").unwrap_or_else(|error| panic!("{error}")).drives.remove(0);
    assert!(near(mine.rated_turns_per_min, 66.0 / 0.252 * 60.0 / TAU), "{}", mine.rated_turns_per_min);
    assert!(near(mine.most_turns_per_min, 340.0 * 60.0 / TAU), "{}", mine.most_turns_per_min);
}

/// The line through (0.4 A, 340 rad/s) and (4 A, w) at 24 V with 0.5 ohm and 0.07 V s: w = (24 - 2)/0.07 = 314.29 rad/s.
#[test]
fn a_resistance_follows_from_a_rated_point_at_the_full_voltage() {
    let rated = 22.0 / 0.07;
    let base = format!(
        "currents = \"direct\"\ninductance = \"0.2 mH\"\nrated_current = \"4 A\"\npeak_current = \"9 A\"\nrated_rise = \"60 K\"\n\
         rated_speed = \"{rated} rad/s\"\n"
    );
    for more in [
        "no_load_speed = \"340 rad/s\"\nno_load_current = \"0.4 A\"\n",
        "torque_constant = \"0.07 N m/A\"\n",
        "voltage_constant = \"0.07 V s/rad\"\n",
    ] {
        let text = format!("{REST}{base}{more}").replace("rated_speed = \"2500 min-1\"\n", "");
        let mine =
            parse_catalogue(&text, "mine.toml").unwrap_or_else(|error| panic!("{error}")).drives.remove(0);
        assert!((mine.resistance_ohm - 0.5).abs() < 1e-9, "{more}: {}", mine.resistance_ohm);
        assert!((mine.torque_constant_n_m_per_a - 0.07).abs() < 1e-9, "{more}");
    }
}

#[test]
fn ratios_shares_angles_and_speeds_are_read_as_data_sheets_write_them() {
    let sheet = &one_motor()[0];
    let mine = drive(&format!("{sheet}backlash = \"15 arcmin\"\ninertia_ratio = \"20:1\"\n"));
    assert!((mine.ratio, mine.inertia_ratio) == (8.0, 20.0) && near(mine.efficiency, 0.9), "{mine:?}");
    assert!(near(mine.rated_turns_per_min, 2500.0) && near(mine.most_turns_per_min, 3500.0), "{mine:?}");
    let arc = mine.backlash_rad.expect("typed");
    assert!(
        near(arc, TAU / 360.0 / 4.0)
            && near(arc, drive(&format!("{sheet}backlash = \"0.25 deg\"\n")).backlash_rad.unwrap())
    );
    // at the rim of the pulley, where the model has it
    let door = Door::try_from(Parameters::default()).expect("the default door");
    let belt = &catalogue().belts[0];
    let p = fitted(&door, &mine, belt);
    assert!(near(p.gear.backlash_m, arc * p.pulleys.teeth * belt.pitch_m / TAU), "{}", p.gear.backlash_m);
    assert!(p.gear.mesh_stiffness_n_per_m.is_some());
    for speed in ["2500 1/min", "2500 min^-1", "2500 r/min", "2500 rpm"] {
        let text = format!("{REST}{sheet}").replace("2500 min-1", speed);
        let read = parse_catalogue(&text, "mine.toml").unwrap_or_else(|error| panic!("{speed}: {error}"));
        assert!(near(read.drives[0].rated_turns_per_min, 2500.0), "{speed}");
    }
    for (wrong, part) in [
        ("efficiency = \"90\"", ":9: drive.efficiency: found \"90\""),
        ("efficiency = \"900 %\"", ":9: drive.efficiency: \"900 %\" is not possible"),
        ("efficiency = 90", ":9: drive.efficiency: 90 is not possible"),
    ] {
        let said = problems(&format!("{REST}{sheet}").replace("efficiency = \"90 %\"", wrong));
        assert!(said.contains(part), "{part}\n{said}");
    }
}

/// A brushed motor of 0.5 ohm, 0.07 N m/A, 4 A at 2500 1/min and 60 K.
const PLAIN: &str = "terminal_resistance = \"0.5 ohm\"\ninductance = \"0.2 mH\"\nrated_current = \"4 A\"\npeak_current = \"9 A\"\n\
    torque_constant = \"0.07 N m/A\"\nrated_rise = \"60 K\"\n";

#[test]
fn what_contradicts_is_refused_with_place_and_both_numbers() {
    let brushed = format!("{REST}{PLAIN}").replace("\"brushless\"", "\"brushed\"");
    assert!(near(
        parse_catalogue(&brushed, "mine.toml").expect("it is sound").drives[0].rated_current_a,
        4.0
    ));
    for (more, part) in [
        (
            "voltage_constant = \"9 V/1000 min-1\"",
            "mine.toml:21: drive.voltage_constant: this makes a torque constant of 0.08594 N m/A by E/w, from voltage_constant, where \
             torque_constant makes 0.07 N m/A; write numbers that agree within 10 %",
        ),
        (
            "no_load_speed = \"5000 1/min\"",
            ":21: drive.no_load_speed: this makes a torque constant of 0.04584 N m/A by U/w_0",
        ),
        (
            "rated_torque = \"0.5 N m\"",
            ":21: drive.rated_torque: this makes a torque constant of 0.125 N m/A by T_N/i_N, from the rated point",
        ),
        ("rated_power = \"200 W\"", ":21: drive.rated_power: this makes a torque constant of 0.191 N m/A"),
        (
            "rated_torque = \"0.27 N m\"\nrated_power = \"90 W\"",
            ":22: drive.rated_power: this makes a rated power of 90 W, where rated_torque times rated_speed makes 70.69 W",
        ),
        (
            "resistance = \"0.6 ohm\"",
            ":15: drive.terminal_resistance: this makes a resistance between two terminals of 0.5 ohm, where resistance makes 0.6 ohm",
        ),
        (
            "rated_turns_per_min = 3000",
            ":13: drive.rated_speed: this makes a rated speed of 2500 1/min, where rated_turns_per_min makes 3000 1/min",
        ),
        ("most_turns_per_min = 4000", ":14: drive.maximum_speed: this makes a maximum speed of 3500 1/min"),
        (
            "no_load_speed = \"2400 1/min\"",
            ":13: drive.rated_speed: 2500 1/min is not below no_load_speed, 2400 1/min",
        ),
        ("no_load_current = \"4.5 A\"", ":21: drive.no_load_current: 4.5 A is not below rated_current, 4 A"),
        (
            "no_load_current = \"0.4 A\"\nrotor_friction = \"0.1 N m\"",
            ":22: drive.rotor_friction: 0.1 N m is not below the torque without load, K i_0, 0.028 N m",
        ),
        (
            "thermal_resistance_winding_housing = \"2 K/W\"",
            ":21: drive.thermal_resistance_winding_housing: this is one part of a thermal resistance without the other",
        ),
        (
            "thermal_resistance = \"40 K/W\"",
            ":21: drive.thermal_resistance: 8 W at the rated current over 40 K/W warm the winding without end; in all less than 32.47 K/W",
        ),
        (
            "thermal_resistance = \"2 K/W\"",
            ":21: drive.thermal_resistance: this makes a rated rise of 18.03 K by i_N^2 R, with R as warm as that, where rated_rise makes 60 K",
        ),
        (
            "thermal_resistance = \"9 K/W\"\nthermal_resistance_winding_housing = \"2 K/W\"\n\
             thermal_resistance_housing_ambient = \"3 K/W\"",
            ":21: drive.thermal_resistance: this makes a thermal resistance of 9 K/W, where the sum of its two parts makes 5 K/W",
        ),
        (
            "inner_rise_share = 0.7\nthermal_resistance_winding_housing = \"2 K/W\"\nthermal_resistance_housing_ambient = \"3 K/W\"",
            ":22: drive.thermal_resistance_winding_housing: this makes an inner share of the rise of 0.4, where inner_rise_share makes 0.7",
        ),
        ("currents = \"rms\"", ":21: drive.currents: a motor with brushes has direct current"),
        ("measured = \"phase\"", ":21: drive.measured: a motor with brushes has two terminals"),
        ("voltages = \"rms\"", ":21: drive.voltages: a motor with brushes gives a direct voltage"),
    ] {
        let said = problems(&format!("{brushed}{more}\n"));
        assert!(said.contains(part), "{part}\n{said}");
    }
    for (from, to, part) in [
        (
            "rated_rise = \"60 K\"",
            "rated_rise = \"80 K\"\ninsulation = \"A\"",
            ":21: drive.insulation: at the rated current the winding is 80 K above 40 C, and this class bears 105 C",
        ),
        (
            "\"0.07 N m/A\"",
            "\"0.09 N m/A\"",
            ":13: drive.rated_speed: the rated point needs R i + K w = 25.6 V of 24 V",
        ),
        (
            "terminal_resistance = \"0.5 ohm\"\n",
            "voltage_constant = \"0.1 V s\"\n",
            "drive.resistance: works out as -0.",
        ),
    ] {
        let text =
            if to.contains("0.1 V s") { brushed.replace("0.07 N m/A", "0.1 N m/A") } else { brushed.clone() };
        let said = problems(&text.replace(from, to));
        assert!(said.contains(part), "{part}\n{said}");
    }
}

/// 60 K over 4^2 x 0.5 ohm x (1 + 0.00385 x 75) = 10.31 W are 5.820 K/W (arithmetic).
#[test]
fn a_thermal_resistance_follows_from_a_rated_rise() {
    let brushed = format!("{REST}{PLAIN}").replace("\"brushless\"", "\"brushed\"");
    let mine = parse_catalogue(&brushed, "mine.toml").expect("it is sound").drives.remove(0);
    let worked = mine.worked_out.iter().find(|worked| worked.key == "drive.thermal_resistance");
    assert!(near(worked.expect("it follows").value, 60.0 / (8.0 * (1.0 + 0.00385 * 75.0))), "{mine:?}");
}

/// RMS or amplitude, phase or line-to-line: what a brushless motor does not say by name is asked for, never guessed.
#[test]
fn a_brushless_motor_says_its_conventions_by_name() {
    let sheet = PLAIN.replace("terminal_resistance", "resistance");
    for (more, part) in [
        (
            "voltage_constant = \"5 V/1000 min-1\"",
            "drive.currents: a brushless motor does not say which currents",
        ),
        ("currents = \"rms\"", "drive.measured: resistance and inductance do not say between what"),
        (
            "currents = \"rms\"\nmeasured = \"phase\"\nvoltage_constant = \"5 V/1000 min-1\"",
            "drive.voltages: the voltage constant does not say what it counts of the sine; write voltages = \"rms\" or \"amplitude\"",
        ),
        (
            "currents = \"direct\"\nmeasured = \"phase\"",
            "drive.measured: with direct current, values of one phase are not known",
        ),
        (
            "currents = \"direct\"\nvoltages = \"rms\"",
            "drive.voltages: with direct current, a voltage constant",
        ),
        (
            "currents = \"rms\"\nmeasured = \"phase\"\nvoltages = \"rms\"\nvoltage_constant = \"0.07 N m/A\"",
            "drive.voltage_constant: \"0.07 N m/A\" is a torque constant; write it at torque_constant",
        ),
        ("currents = \"RMS\"", "drive.currents: found \"RMS\"; write \"direct\" or \"rms\" or \"amplitude\""),
    ] {
        let said = problems(&format!("{REST}{sheet}{more}\n"));
        assert!(said.contains(part), "{part}\n{said}");
    }
    let said = problems(&format!(
        "{REST}{}currents = \"rms\"\nmeasured = \"line-to-line\"\n",
        sheet.replace("0.07 N m/A", "7 V/1000 min-1")
    ));
    assert!(said.contains(":19: drive.torque_constant: \"7 V/1000 min-1\" is a voltage constant"), "{said}");
    // in the amperes of the data sheet, not in those of the model: 5 V/1000 min-1 between terminals is 0.0827 N m/A
    let said = problems(&format!(
        "{REST}{sheet}currents = \"rms\"\nmeasured = \"line-to-line\"\nvoltages = \"rms\"\nvoltage_constant = \"5 V/1000 min-1\"\n"
    ));
    let part = "this makes a torque constant of 0.0827 N m/A by amplitude between two terminals, from voltage_constant, where \
                torque_constant makes 0.07 N m/A; write numbers that agree within 10 %, or leave one of them out; currents, voltages \
                and measured count too";
    assert!(said.contains(part), "{said}");
}

/// What neither stands there nor follows is asked for, with what it would follow from; what follows from a wrong key is not.
#[test]
fn what_is_missing_is_named() {
    let brushed = REST.replace("\"brushless\"", "\"brushed\"");
    let said = problems(&format!("{brushed}terminal_resistance = \"0.5 ohm\"\npeak_current = \"9 A\"\n"));
    for part in [
        "\"Mine\" has no torque_constant, inductance, rated_current, rated_rise; write each of them with its unit",
        "torque_constant follows from voltage_constant; no_load_speed with no_load_current; or rated_torque with rated_current",
    ] {
        assert!(said.contains(part), "{part}\n{said}");
    }
    assert!(!said.contains("rated_turns_per_min"), "{said}");
    let wrong = PLAIN.replace("torque_constant = \"0.07 N m/A\"", "voltage_constant = \"0.07\"");
    let said = problems(&format!("{brushed}{wrong}"));
    assert!(said.contains(":19: drive.voltage_constant: \"0.07\" has no unit"), "{said}");
    assert!(!said.contains("has no torque_constant"), "{said}");
}

#[test]
fn the_entry_to_start_from_reads_as_it_is_and_explains_every_key_once() {
    let text = commented_drive();
    let read = |text: &str| {
        let read = parse_catalogue(text, "new.toml");
        read.unwrap_or_else(|error| panic!("{error}\n{text}")).drives.remove(0)
    };
    let mine = read(&text);
    assert!(text.lines().all(|line| line.chars().count() <= 110), "{text}");
    let keys = DRIVE_FIELDS.iter().map(|field| field.key).chain(SHEET_FIELDS.iter().map(|field| field.key));
    for key in keys {
        let key = key.trim_start_matches("drive.");
        let stands = |line: &&str| line.trim_start_matches(['#', ':', ' ']).starts_with(&format!("{key} = "));
        assert_eq!(text.lines().filter(stands).count(), 1, "{key}\n{text}");
    }
    for (key, typed) in &mine.typed {
        assert!(text.lines().any(|line| line == format!("{key} = {typed}")), "{key} = {typed}");
    }
    // its data sheet: 5.2 V/1000 min-1 RMS between terminals is sqrt(2) x 5.2 x 60/(2 pi 1000) = 0.07022 V s of amplitude
    assert!(near(mine.torque_constant_n_m_per_a, 2.0_f64.sqrt() * 5.2 * 60.0 / (TAU * 1000.0)), "{mine:?}");
    // a key with its default changes nothing
    let again = read(&text.replace("#:", ""));
    assert!(again.typed.len() > mine.typed.len());
    let quiet = |drive: &Drive| Drive { typed: Vec::new(), ..drive.clone() };
    assert_eq!(quiet(&again), quiet(&mine));
}
