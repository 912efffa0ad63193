//! The parts of the window, one file each. They draw what the context shows them and send actions.

pub mod charts;
pub mod doorway;
pub mod extras;
pub mod figures;
mod fold;
pub mod foot;
pub mod held;
pub mod large_popup;
pub mod limits;
pub mod messages;
pub mod popups;
pub mod sliders;
pub mod tension;
pub mod top_bar;
pub mod transport;
pub mod trials;
pub mod verdicts;
