//! The drive for the leaf: every drive and belt of a catalogue tried on one door.

pub mod bounds;
pub mod catalogue;
mod choice;
pub mod data_sheet;
pub mod fit;
pub mod gait;
mod load_map;
mod map;
mod map_grid;
mod mapper;
mod pair;
mod rated;
pub mod refusal;
mod restriction;
mod surely;
pub mod textbook;
mod turning;
mod undisturbed;
mod wanted;
mod working_out;

pub use bounds::{Bound, Check, How};
pub use catalogue::{BeltKind, Catalogue, Commutation, Cord, Drive, GearKind};
pub use choice::{Choice, Choosing, Rank, Watch, choose};
pub use load_map::{load_map, own_belt};
pub use map::{Border, LoadMap, MapPoint, Row};
pub use mapper::with_mass;
pub use pair::{MORE_CYCLES, MOST_CYCLES, NOT_BELIEVED, Tried};
pub use rated::ratings_of;
pub use restriction::{Restriction, same_voltage};
pub use surely::choose_surely;
pub use undisturbed::undisturbed;
pub use wanted::{KAPPAS, Wanted, Way};
