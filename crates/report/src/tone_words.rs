//! Words for tones: what makes one, and how high it is.

use tautleaf_physics::workbench::Maker;

use crate::words::decimals;

/// A tone: a tenth of a hertz, from 100 Hz on a whole one.
pub(crate) fn tone(hz: f64) -> String {
    format!("{} Hz", decimals(hz, if hz < 99.95 { 1 } else { 0 }))
}

/// What makes a tone, in words.
pub(crate) fn maker_in_words(maker: Maker) -> &'static str {
    match maker {
        Maker::Meshing => "belt meshing",
        Maker::DrivePulley => "drive pulley",
        Maker::ReturnPulley => "return pulley",
        Maker::Roller => "roller",
        Maker::Rotor => "rotor",
        Maker::Gear => "gear meshing",
        Maker::Poles => "magnet poles",
        Maker::Commutation => "commutation",
        Maker::Bars => "commutator",
    }
}
