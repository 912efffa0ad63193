//! The title of a picture, and text cut where its room ends.

pub(super) fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}...", &text[..end]),
        None => text.to_owned(),
    }
}

/// Gives the picture a title, for those who cannot see it.
pub(super) fn with_title(svg: &str, title: &str, what: &str) -> String {
    let title = title.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    match svg.find("<svg").and_then(|start| svg[start..].find('>').map(|end| start + end + 1)) {
        Some(at) => {
            format!("{}\n<title>{title}: {what}</title>{}", &svg[..at], &svg[at..])
        }
        None => svg.to_owned(),
    }
}
