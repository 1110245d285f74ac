//! What every picture of evidence shares: its width, its sheet, its words.

use std::fmt::Write as _;

/// Width of every picture.
pub(crate) const WIDTH: f64 = 180.0;
/// White round its body.
pub(crate) const MARGIN: f64 = 6.0;

/// A picture of this height about a body.
pub(crate) fn sheet(height: f64, title: &str, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH:.0}mm\" height=\"{height:.1}mm\" viewBox=\"0 0 {WIDTH:.0} {height:.1}\" role=\"img\" font-family=\"Atkinson Hyperlegible Next, sans-serif\" fill=\"#111\">\n<title>{title}</title>\n<rect width=\"{WIDTH:.0}\" height=\"{height:.1}\" fill=\"#fff\"/>\n{body}</svg>\n"
    )
}

/// Adds words at a place.
pub(crate) fn text(body: &mut String, x: f64, y: f64, size: f64, anchor: &str, words: &str) {
    let _ = writeln!(
        body,
        "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size}\" text-anchor=\"{anchor}\">{words}</text>"
    );
}

/// Text as it stands in XML.
pub(crate) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
