//! Parts that panels are made of.

mod buttons;
mod caution;
mod chart_around;
mod chart_header;
mod chart_labels;
mod end_letters;
mod entry_field;
mod icons;
mod labels;
mod limit_chart;
mod margin_bar;
mod progress_row;
mod quantity_field;
mod quantity_slider;
mod scale;
mod tension_bar;
mod trial_plot;
mod typed;

pub use buttons::{choice, link, quiet_button, quietly};
pub use caution::belt_caution;
pub use chart_around::Around;
pub use chart_header::Wish;
pub use end_letters::end_letters;
pub use entry_field::{Entered, EntryField, entry_field};
pub use icons::{Icon, icon, icon_at, icon_button, outcome_icon};
pub use limit_chart::{LimitDrag, limit_chart};
pub use margin_bar::margin_bar;
pub use progress_row::progress_row;
pub use quantity_field::{QuantityField, Typed, quantity_field, read_quantity, read_within};
pub use quantity_slider::quantity_slider;
pub use scale::marks;
pub use tension_bar::{belt_work_line, tension_bar};
pub use trial_plot::{named, trial_plot};
pub use typed::typed;
