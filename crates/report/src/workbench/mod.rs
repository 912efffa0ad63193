//! What is worked out at the workbench, as text, JSON and a picture.

mod belt;
mod belt_json;
mod belt_text;
mod hang;
mod lines;
mod tones;
mod tones_json;
mod tones_text;

pub use belt::BeltReport;
pub use hang::HangReport;
pub use tones::TonesReport;
