//! A run as a picture: speed, kinetic energy and closing force, with the limits as lines.

mod axis;
mod draw;
mod limit_lines;
mod load_map;
mod margins;
mod panels;
mod sweep;
mod title;
mod tones;

use plotters::drawing::IntoDrawingArea;
use plotters::prelude::SVGBackend;
use tautleaf_physics::Outcome;

pub use draw::DrawError;
pub use load_map::draw as load_map;
pub use margins::draw as margins;
pub use sweep::draw as sweep;
use title::{shortened, with_title};
pub use tones::draw as tones;

use crate::judged::Judged;
use crate::table::SHORT_CAUTIONS;
use crate::{PROGRAM, VERSION, verdict_text, words};

/// Width and height, px.
const SIZE: (u32, u32) = (1000, 1200);
const HEAD_PX: u32 = 84;
const PANEL_PX: u32 = 338;

/// The picture as SVG.
///
/// # Errors
/// What the drawing library says.
pub fn draw(judged: &Judged<'_>) -> Result<String, DrawError> {
    let mut svg = String::new();
    {
        let root = SVGBackend::with_string(&mut svg, SIZE).into_drawing_area();
        draw::page(&root)?;
        head(judged, &root)?;
        let panels = [panels::speed(judged), panels::energy(judged), panels::force(judged)];
        for (n, panel) in panels.iter().enumerate() {
            let top = HEAD_PX + PANEL_PX * n as u32;
            let area = root.clone().shrink((0, top), (SIZE.0, PANEL_PX));
            draw::panel(&root, &area, panel)?;
        }
        foot(&root)?;
        root.present()?;
    }
    let title = words::one_line(&judged.scenario.title);
    Ok(with_title(&svg, &title, "speed, kinetic energy and closing force of a sliding door"))
}

fn head(judged: &Judged<'_>, root: &draw::Area<'_>) -> Result<(), DrawError> {
    let title = words::title(judged.scenario);
    draw::text(root, &shortened(&title, 70), (28, 20), &draw::TITLE)?;
    let (outcome, word) = verdict_text::standing(judged);
    let counted = verdict_text::counted(judged);
    let colon = if counted.is_empty() { "" } else { ": " };
    let set = if outcome == Outcome::Over { draw::OVER } else { draw::VERDICT };
    draw::text(root, &format!("{word}{colon}{counted}"), (28, 52), &set)
}

fn foot(root: &draw::Area<'_>) -> Result<(), DrawError> {
    let top = (HEAD_PX + 3 * PANEL_PX) as i32;
    for (n, caution) in SHORT_CAUTIONS.iter().take(3).enumerate() {
        draw::text(root, caution, (28, top + 14 + 18 * n as i32), &draw::SMALL)?;
    }
    let made = format!("{PROGRAM} {VERSION}");
    draw::text(root, &made, (SIZE.0 as i32 - 28, top + 14 + 18 * 3), &draw::SMALL_RIGHT)?;
    Ok(())
}
