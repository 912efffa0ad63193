//! Customary units with their exact factors: those that `uom` ships are rounded to seven digits.

#![allow(missing_docs)] // `uom::unit!` writes the items

mod mass {
    unit! {
        system: uom::si;
        quantity: uom::si::mass;
        @pound: 0.453_592_37; "lb", "pound", "pounds";
        @ounce: 0.028_349_523_125; "oz", "ounce", "ounces";
    }
}

mod force {
    unit! {
        system: uom::si;
        quantity: uom::si::force;
        @pound_force: 4.448_221_615_260_5; "lbf", "pound-force", "pounds-force";
    }
}

mod energy {
    unit! {
        system: uom::si;
        quantity: uom::si::energy;
        @foot_pound: 1.355_817_948_331_400_4; "ft lbf", "foot pound-force", "foot pounds-force";
    }
}

pub(super) use energy::foot_pound;
pub(super) use force::pound_force;
pub(super) use mass::{ounce, pound};
