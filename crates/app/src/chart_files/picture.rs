//! A chart as a picture: its drawing, rendered with the window's own typeface.

use std::sync::{Arc, LazyLock};

use eframe::egui::ColorImage;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{self, Options, Tree, fontdb};

use crate::theme::TYPEFACES;

/// Pixels for one unit of the drawing, so that it is sharp on paper too.
const SCALE: f32 = 2.0;

static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    for (_, bytes) in TYPEFACES {
        fonts.load_font_data(bytes.to_vec());
    }
    Arc::new(fonts)
});

/// Why a drawing gives no picture.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// It is no drawing.
    #[error("the chart could not be drawn: {0}")]
    Drawing(#[from] usvg::Error),
    /// It has no size, or more than there is room for.
    #[error("the chart is too large for a picture")]
    Size,
    /// The picture could not be written down.
    #[error("the picture could not be encoded: {0}")]
    Encoding(String),
}

fn rendered(svg: &str) -> Result<Pixmap, PictureError> {
    let options = Options { fontdb: FONTS.clone(), font_family: "Inter".to_owned(), ..Options::default() };
    let tree = Tree::from_str(svg, &options)?;
    let size = tree.size().to_int_size().scale_by(SCALE).ok_or(PictureError::Size)?;
    let mut pixels = Pixmap::new(size.width(), size.height()).ok_or(PictureError::Size)?;
    resvg::render(&tree, Transform::from_scale(SCALE, SCALE), &mut pixels.as_mut());
    Ok(pixels)
}

/// The drawing as the bytes of a PNG file.
///
/// # Errors
/// See [`PictureError`].
pub fn png(svg: &str) -> Result<Vec<u8>, PictureError> {
    rendered(svg)?.encode_png().map_err(|error| PictureError::Encoding(error.to_string()))
}

/// The drawing as a picture for the clipboard.
///
/// # Errors
/// See [`PictureError`].
pub fn picture(svg: &str) -> Result<ColorImage, PictureError> {
    let pixels = rendered(svg)?;
    let size = [pixels.width() as usize, pixels.height() as usize];
    Ok(ColorImage::from_rgba_premultiplied(size, pixels.data()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRAWING: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"60\" height=\"30\" font-family=\"Inter\" \
                           font-size=\"20\"><rect width=\"60\" height=\"30\" fill=\"#ffffff\"/><text x=\"4\" y=\"22\" \
                           fill=\"#ff0000\">H</text></svg>";

    #[test]
    fn a_drawing_becomes_a_picture_of_twice_its_size_with_its_text() {
        let picture = picture(DRAWING).expect("a drawing");
        assert_eq!(picture.size, [120, 60]);
        let red = picture.pixels.iter().filter(|pixel| pixel.r() > 200 && pixel.g() < 60).count();
        assert!(red > 50, "the letter is drawn: {red} pixels");
        assert!(png(DRAWING).expect("a drawing").starts_with(b"\x89PNG"));
        assert!(matches!(png("no drawing"), Err(PictureError::Drawing(_))));
    }
}
