//! A data sheet typed as it stands.

use tautleaf_scenario::{commented_drive, parse_catalogue};
use tautleaf_trials::choose::Drive;

/// What no convention changes.
const REST: &str = "schema = 1\n[[drive]]\nname = \"Mine\"\nmotor = \"brushless\"\ngear = \"planetary\"\nvoltage = \"24 V\"\n\
    rotor_inertia = \"4e-5 kg m2\"\nratio = \"8:1\"\nefficiency = \"90 %\"\npeak_torque = \"5 N m\"\npulley_diameter = \"45 mm\"\n\
    shaft_load = \"800 N\"\nrated_speed = \"2500 min-1\"\nmaximum_speed = \"3500 rpm\"\nrated_rise = \"60 K\"\n";

fn drive(sheet: &str) -> Drive {
    let read = parse_catalogue(&format!("{REST}{sheet}"), "mine.toml");
    read.unwrap_or_else(|error| panic!("{error}")).drives.remove(0)
}

fn problems(sheet: &str) -> String {
    parse_catalogue(&format!("{REST}{sheet}"), "mine.toml").expect_err(sheet).to_string()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9 * b.abs()
}

/// One motor: 0.25 ohm and 0.1 mH a phase, 3 A RMS rated and 9 A peak, 0.08 N m/A RMS. Loss 3 R_ph I^2 = 6.75 W, torque 0.24 N m;
/// without load the line-to-line amplitude of its voltage is the bus: K = sqrt(2/3) K_t,rms (textbook, winding in star).
#[test]
fn the_same_motor_in_every_convention_has_the_same_loss_torque_and_voltage() {
    let root = f64::sqrt;
    let sheets = [
        "currents = \"rms\"\nmeasured = \"phase\"\nterminal_resistance = \"0.25 ohm\"\ninductance = \"0.1 mH\"\n\
         rated_current = \"3 A\"\npeak_current = \"9 A\"\ntorque_constant = \"0.08 N m/A\"\n".to_owned(),
        format!(
            "currents = \"amplitude\"\nmeasured = \"line-to-line\"\nterminal_resistance = \"0.5 ohm\"\ninductance = \"0.2 mH\"\n\
             rated_current = \"{} A\"\npeak_current = \"{} A\"\ntorque_constant = \"{} N m/A\"\n",
            3.0 * root(2.0), 9.0 * root(2.0), 0.08 / root(2.0)
        ),
        // by its voltage constant: K_e,ll = K_t/sqrt(3), in V/1000 min-1
        format!(
            "currents = \"rms\"\nterminal_resistance = \"0.5 ohm\"\ninductance = \"0.2 mH\"\nrated_current = \"3 A\"\n\
             peak_current = \"9 A\"\nvoltage_constant = \"{} V/1000 min-1\"\n",
            0.08 / root(3.0) * 1000.0 * std::f64::consts::TAU / 60.0
        ),
        format!(
            "terminal_resistance = \"0.5 ohm\"\ninductance = \"0.2 mH\"\nrated_current = \"{} A\"\npeak_current = \"{} A\"\n\
             torque_constant = \"{} N m/A\"\n",
            3.0 * root(1.5), 9.0 * root(1.5), 0.08 / root(1.5)
        ),
    ];
    for sheet in &sheets {
        let drive = drive(sheet);
        let loss = drive.rated_current_a.powi(2) * drive.resistance_ohm;
        let torque = drive.rated_current_a * drive.torque_constant_n_m_per_a;
        assert!(near(loss, 6.75) && near(torque, 0.24), "{loss} W, {torque} N m\n{sheet}");
        assert!(near(drive.torque_constant_n_m_per_a, root(2.0 / 3.0) * 0.08), "{sheet}");
        assert!(near(drive.peak_current_a, 3.0 * drive.rated_current_a) && near(drive.inductance_h, 0.2e-3), "{sheet}");
        assert!(near(drive.ratio, 8.0) && near(drive.efficiency, 0.9) && near(drive.rated_turns_per_min, 2500.0));
    }
}

/// K = (24 V - 0.5 ohm x 0.4 A)/340 rad/s = 0.07 V s, friction K i_0 = 0.028 N m, i = (0.252 + 0.028)/0.07 = 4 A (arithmetic);
/// rise = P R_th (1 + 15 a)/(1 - P R_th a), P = 16 x 0.5 = 8 W, R_th = 5 K/W, a = 0.00385: 42.31/0.846 = 50.01 K.
#[test]
fn what_follows_is_worked_out_and_said() {
    let sheet = "terminal_resistance = \"0.5 ohm\"\ninductance = \"0.2 mH\"\npeak_current = \"9 A\"\nrated_torque = \"0.252 N m\"\n\
                 no_load_speed = \"340 rad/s\"\nno_load_current = \"0.4 A\"\nthermal_resistance_inside = \"2 K/W\"\n\
                 thermal_resistance_outside = \"3 K/W\"\n";
    let text = format!("{REST}{sheet}").replace("rated_rise = \"60 K\"\n", "");
    let drive = parse_catalogue(&text, "mine.toml").unwrap_or_else(|error| panic!("{error}")).drives.remove(0);
    assert!(near(drive.torque_constant_n_m_per_a, 0.07) && near(drive.rotor_friction_n_m, 0.028), "{drive:?}");
    assert!(near(drive.rated_current_a, 4.0), "{drive:?}");
    assert!((drive.rated_rise_k - 50.01).abs() < 0.01 && near(drive.inner_rise_share, 0.4), "{}", drive.rated_rise_k);
    let said: Vec<&str> = drive.worked_out.iter().map(|worked| worked.key).collect();
    for key in ["torque_constant", "rotor_friction", "rated_current", "rated_rise", "inner_rise_share"] {
        assert!(said.contains(&format!("drive.{key}").as_str()), "{key}: {said:?}");
    }
}

#[test]
fn what_contradicts_is_refused_with_both_numbers() {
    let sheet = "terminal_resistance = \"0.5 ohm\"\ninductance = \"0.2 mH\"\nrated_current = \"4 A\"\npeak_current = \"9 A\"\n\
                 torque_constant = \"0.07 N m/A\"\n";
    assert!(near(drive(sheet).rated_current_a, 4.0));
    for (more, part) in [
        ("voltage_constant = \"9 V/1000 min-1\"", "drive.torque_constant: 0.07 contradicts the voltage constant, which makes 0.08594"),
        ("rated_torque = \"0.5 N m\"", "drive.torque_constant: 0.07 contradicts rated torque over rated current, which makes 0.125"),
        ("rated_power = \"200 W\"", "drive.rated_power: 200 contradicts (K i - friction) w"),
        ("resistance = \"0.6 ohm\"", "drive.terminal_resistance: 0.5 contradicts resistance, which makes 0.6"),
        ("thermal_resistance_inside = \"2 K/W\"", "one thermal resistance without the other"),
        ("thermal_resistance_inside = \"20 K/W\"\nthermal_resistance_outside = \"20 K/W\"", "burns the winding"),
        ("measured = \"phase\"", "values of one phase say nothing of direct current"),
    ] {
        let said = problems(&format!("{sheet}{more}\n"));
        assert!(said.contains(part), "{part}\n{said}");
    }
    let brushed = format!("{REST}{sheet}currents = \"rms\"\n").replace("\"brushless\"", "\"brushed\"");
    let said = parse_catalogue(&brushed, "mine.toml").expect_err("brushes").to_string();
    assert!(said.contains("a motor with brushes has direct current"), "{said}");
}

/// What neither stands there nor follows is asked for.
#[test]
fn what_is_missing_is_named() {
    let said = problems("terminal_resistance = \"0.5 ohm\"\npeak_current = \"9 A\"\n");
    for key in ["torque_constant", "inductance", "rated_current"] {
        assert!(said.contains(key), "{key}\n{said}");
    }
    assert!(!said.contains("rated_turns_per_min"), "{said}");
}

#[test]
fn the_entry_to_start_from_reads_as_it_is_and_explains_every_key() {
    let text = commented_drive();
    let drive = parse_catalogue(&text, "new.toml").unwrap_or_else(|error| panic!("{error}\n{text}")).drives.remove(0);
    assert!(!drive.worked_out.is_empty() && drive.backlash_rad.is_some());
    assert!(text.lines().all(|line| line.chars().count() <= 110), "{text}");
}
