//! Text with a unit <-> SI.

use tautleaf_physics::Quantity as Q;
use tautleaf_scenario::UnitSystem::{Si, Us};
use tautleaf_scenario::units::{self, parse_quantity};

/// NIST SP 811 (2008), appendix B: these factors are exact.
#[test]
fn customary_units_have_their_exact_factors() {
    for (quantity, text, si) in [
        (Q::Force, "1 lbf", 4.448_221_615_260_5),
        (Q::Mass, "1 lb", 0.453_592_37),
        (Q::Length, "1 in", 0.0254),
        (Q::Length, "1 ft", 0.3048),
        (Q::Energy, "1 ft lbf", 1.355_817_948_331_400_4),
        (Q::Speed, "1 ft/s", 0.3048),
        (Q::Speed, "14 in/s", 14.0 * 0.0254),
        (Q::Force, "30 lbf", 30.0 * 4.448_221_615_260_5),
    ] {
        assert_eq!(parse_quantity(quantity, text), Ok(si), "{text}");
    }
}

/// Factors that follow from the exact ones, to the last digits of a product of doubles.
#[test]
fn compound_customary_units_follow_from_the_simple_ones() {
    let (lbf, lb, inch, foot) = (4.448_221_615_260_5, 0.453_592_37, 0.0254, 0.3048);
    for (quantity, text, si) in [
        (Q::Stiffness, "1 lbf/in", lbf / inch),
        (Q::LineDrag, "1 lbf/ft", lbf / foot),
        (Q::Torque, "1 lbf in", lbf * inch),
        (Q::Torque, "1 lbf ft", lbf * foot),
        (Q::Damping, "1 lbf s/in", lbf / inch),
        (Q::Inertia, "1 lb in2", lb * inch * inch),
        (Q::SpecificMass, "1 lb/ft2", lb / foot / foot),
        (Q::TorqueConstant, "1 lbf in/A", lbf * inch),
        (Q::Slope, "1 in/ft", 1.0 / 12.0),
        (Q::SpeedGain, "1 A s/ft", 1.0 / foot),
    ] {
        let read = parse_quantity(quantity, text).unwrap();
        assert!((read / si - 1.0).abs() < 1e-15, "{text}: {read} is not {si}");
    }
}

/// A power of ten only moves the decimal point: the number is the double nearest to what is written.
#[test]
fn a_power_of_ten_only_moves_the_decimal_point() {
    for (quantity, text, si) in [
        (Q::Mass, "85 kg", 85.0),
        (Q::ShortLength, "50 mm", 0.05),
        (Q::ShortLength, "5.08 mm", 0.00508),
        (Q::Inductance, "0.3 mH", 0.0003),
        (Q::Stiffness, "30 N/mm", 30e3),
        (Q::Stiffness, "30 N/m", 30.0),
        (Q::SpecificStiffness, "22 kN/mm", 22e6),
        (Q::SpecificMass, "4.8 g/m/mm", 4.8),
        (Q::Damping, "100 N s/m", 100.0),
        (Q::Inertia, "5e-5 kg m2", 5e-5),
        (Q::Inertia, "500 g cm2", 5e-5),
        (Q::TorqueConstant, "0.05 N m/A", 0.05),
        (Q::TorqueConstant, "50 mN m/A", 0.05),
        (Q::ShortTime, "1 ms", 0.001),
        (Q::Slope, "2 mm/m", 0.002),
        (Q::Slope, "0.2 %", 0.002),
        (Q::PerHour, "60 /h", 60.0),
        (Q::RotationalSpeed, "10 rad/s", 10.0),
        (Q::RotationalSpeed, "60 1/min", std::f64::consts::TAU),
        (Q::PerKelvin, "-0.002 1/K", -0.002),
        (Q::Resistance, "500 mohm", 0.5),
        (Q::Force, "1.5e2 N", 150.0),
    ] {
        assert_eq!(parse_quantity(quantity, text), Ok(si), "{text}");
    }
}

#[test]
fn temperatures_have_their_own_zero() {
    assert_eq!(parse_quantity(Q::Temperature, "25 C"), Ok(25.0));
    assert_eq!(parse_quantity(Q::Temperature, "77 F"), Ok(25.0));
    assert_eq!(parse_quantity(Q::Temperature, "-40 °F"), Ok(-40.0));
    assert!((parse_quantity(Q::Temperature, "298.15 K").unwrap() - 25.0).abs() < 1e-12);
    assert_eq!(units::show(Q::Temperature, 25.0, Us), "77 F");
}

#[test]
fn a_unit_may_be_spelt_in_the_usual_ways() {
    for text in ["5e-5 kg m2", "5e-5 kg·m²", "5e-5 kg m^2", "5e-5 kg*m2", "5e-5kgm2", " 0.5e-4  kg m² "] {
        assert_eq!(parse_quantity(Q::Inertia, text), Ok(5e-5), "{text}");
    }
    for text in ["100 N s/m", "100 Ns/m", "100 N·s/m", "100 N s / m", "100 kg/s"] {
        assert_eq!(parse_quantity(Q::Damping, text), Ok(100.0), "{text}");
    }
    for text in ["1 ft lbf", "1 ft-lbf", "1 ft·lbf", "1 lbf ft"] {
        assert_eq!(parse_quantity(Q::Energy, text), Ok(1.355_817_948_331_400_4), "{text}");
    }
    assert_eq!(parse_quantity(Q::Resistance, "0.5 Ω"), Ok(0.5));
    assert_eq!(parse_quantity(Q::Mass, "190 lbs"), parse_quantity(Q::Mass, "190 lb"));
    assert_eq!(parse_quantity(Q::Force, "\u{2212}20 N"), Ok(-20.0));
}

#[test]
fn what_is_wrong_with_a_quantity_is_said_with_what_would_do() {
    for (quantity, text, found, would_do) in [
        (Q::Mass, "80", "\"80\" has no unit", "write a mass such as \"80 kg\" or \"176 lb\""),
        (Q::Mass, "80 N", "\"80 N\" is a force", "write a mass"),
        (Q::Force, "30 lb", "\"30 lb\" is a mass", "write a force such as \"250 N\" or \"56 lbf\""),
        (Q::Energy, "3 N m", "is a torque", "write an energy"),
        (Q::Mass, "80 KG", "unknown unit \"KG\"", "did you mean \"kg\"?"),
        (Q::Mass, "80 stone", "unknown unit \"stone\"", "write a mass"),
        (Q::Mass, "80,5 kg", "comma", "decimal point"),
        (Q::Mass, "1'000 kg", "separator", "decimal point"),
        (Q::Mass, "nan kg", "no finite number", "write a mass"),
        (Q::Mass, "-inf kg", "no finite number", "write a mass"),
        (Q::Mass, "1e400 kg", "no finite number", "write a mass"),
        (Q::SpecificStiffness, "1e308 kN/mm", "no finite number", "write a stiffness"),
        (Q::Mass, "", "nothing is written", "write a mass"),
        (Q::Mass, "   ", "nothing is written", "write a mass"),
        (Q::Mass, "eighty kg", "does not begin with a number", "write a mass"),
        (Q::Mass, "kg 80", "does not begin with a number", "write a mass"),
        (Q::Length, "14 1/2 in", "more than one number", "write a length"),
        (Q::Number, "0.01 kg", "has a unit", "write a plain number"),
    ] {
        let error = parse_quantity(quantity, text).unwrap_err();
        assert!(error.found.contains(found), "{text}: {error}");
        assert!(error.would_do.contains(would_do), "{text}: {error}");
    }
}

#[test]
fn tiny_and_huge_exponents_do_no_harm() {
    assert_eq!(parse_quantity(Q::Length, "1e-99999999999 mm"), Ok(0.0));
    assert_eq!(parse_quantity(Q::Length, "1e-2147483648 mm"), Ok(0.0));
    assert!(parse_quantity(Q::Length, "1e99999999999 mm").is_err());
    assert!(parse_quantity(Q::Length, &"9".repeat(100_000)).is_err());
}

#[test]
fn the_screen_shows_four_digits_and_the_unit() {
    for (quantity, value, system, text) in [
        (Q::Mass, 85.0, Si, "85 kg"),
        (Q::Mass, 86.182_550_3, Us, "190 lb"),
        (Q::Speed, 0.35, Si, "0.35 m/s"),
        (Q::Speed, 0.355_6, Us, "14 in/s"),
        (Q::Force, 133.446_648_457_815, Us, "30 lbf"),
        (Q::Force, 133.446_648_457_815, Si, "133.4 N"),
        (Q::Force, 1234.56, Si, "1235 N"),
        (Q::Stiffness, 500e3, Si, "500 N/mm"),
        (Q::Inertia, 5e-5, Si, "5e-5 kg m2"),
        (Q::Number, 0.0123456, Si, "0.01235"),
        (Q::Time, 0.0, Si, "0 s"),
    ] {
        assert_eq!(units::show(quantity, value, system), text);
    }
    assert_eq!(units::show_in(Q::Force, 133.446_648_457_815, "lbf"), "30 lbf");
    assert_eq!(units::show_in(Q::Force, 12.0, "no unit"), "12 N");
}

#[test]
fn what_a_slider_shows_is_what_a_file_would_say() {
    for (quantity, shown, text) in
        [(Q::Mass, 190.0, "190 lb"), (Q::Speed, 14.0, "14 in/s"), (Q::Force, 30.0, "30 lbf")]
    {
        let value = units::from_shown(quantity, shown, Us);
        assert_eq!(Ok(value), parse_quantity(quantity, text));
        assert!((units::to_shown(quantity, value, Us) - shown).abs() < 1e-12 * shown);
    }
    assert_eq!(units::from_shown(Q::ShortLength, 50.0, Si), 0.05);
    assert_eq!(units::to_shown(Q::ShortLength, 0.05, Si), 50.0);
    assert_eq!(units::to_shown(Q::Number, 0.01, Us), 0.01);
}
