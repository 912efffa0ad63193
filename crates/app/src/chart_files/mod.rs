//! A chart outside the window: as a table, as a drawing, as a picture.

mod csv;
mod svg;

use eframe::egui::{ColorImage, Rect};

use crate::charts::{Chart, Charts};

/// What a chart can be saved or copied as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Format {
    /// A table of every curve's points.
    Csv,
    /// A drawing.
    Svg,
    /// A picture of it as it is on the screen.
    Png,
}

impl Format {
    /// All of them.
    pub const ALL: [Format; 3] = [Format::Png, Format::Svg, Format::Csv];

    /// Its name, and the ending of its files.
    pub fn name(self) -> (&'static str, &'static str) {
        match self {
            Format::Csv => ("CSV", "csv"),
            Format::Svg => ("SVG", "svg"),
            Format::Png => ("PNG", "png"),
        }
    }
}

/// The text of a chart in a format that is text; `None` for a picture.
pub fn text(chart: &Chart, charts: &Charts, axis: &str, title: &str, format: Format) -> Option<String> {
    match format {
        Format::Csv => Some(csv::table(chart, charts, axis)),
        Format::Svg => Some(svg::drawing(chart, charts, axis, title)),
        Format::Png => None,
    }
}

/// The part of a picture of the whole window that shows `rect`, in points.
pub fn part_of(picture: &ColorImage, rect: Rect, pixels_per_point: f32) -> ColorImage {
    let [width, height] = picture.size;
    let pixel = |points: f32, most: usize| ((points * pixels_per_point).round().max(0.0) as usize).min(most);
    let (left, right) = (pixel(rect.left(), width), pixel(rect.right(), width));
    let (top, bottom) = (pixel(rect.top(), height), pixel(rect.bottom(), height));
    picture.region_by_pixels([left, top], [right.saturating_sub(left), bottom.saturating_sub(top)])
}

/// A picture as the bytes of a PNG file.
///
/// # Errors
/// The picture is empty.
pub fn png(picture: &ColorImage) -> Result<Vec<u8>, image::ImageError> {
    let [width, height] = picture.size;
    let mut bytes = std::io::Cursor::new(Vec::new());
    let colour = image::ExtendedColorType::Rgba8;
    let encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    image::ImageEncoder::write_image(encoder, picture.as_raw(), width as u32, height as u32, colour)?;
    Ok(bytes.into_inner())
}

#[cfg(test)]
mod tests {
    use eframe::egui::{Color32, pos2};

    use super::*;

    #[test]
    fn a_part_of_a_picture_is_what_lies_there_and_survives_as_png() {
        let mut picture = ColorImage::filled([40, 20], Color32::WHITE);
        picture.pixels[10 * 40 + 30] = Color32::RED;
        let part = part_of(&picture, Rect::from_min_max(pos2(14.0, 4.0), pos2(99.0, 8.0)), 2.0);
        assert_eq!(part.size, [12, 8]);
        assert_eq!(part.pixels[2 * 12 + 2], Color32::RED);
        let read = image::load_from_memory(&png(&part).expect("a picture")).expect("a PNG").into_rgba8();
        assert_eq!(read.get_pixel(2, 2).0, [255, 0, 0, 255]);
    }
}
