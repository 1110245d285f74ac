//! Pictures of a surface: its relief with a scale of heights, the material ratio curve, a
//! profile line, and the chances of each profile level against the range asked for. Greys
//! tell height and light; shapes and words tell everything else.
//!
//! Units of the drawings are millimetres on paper.

use std::fmt::Write as _;

use tooth_measure::say::{decimal, said};
use tooth_measure::{Length, ProfileRange};
use tooth_texture::calibration::Grade;
use tooth_texture::{HeightMap, Texture};
use tooth_words::Words;

use crate::svg::{MARGIN, WIDTH, sheet, text};

/// Pixels of a relief along its longer side at most.
const PIXELS: usize = 480;
/// Height of the lamp over the surface, in degrees.
const LAMP: f64 = 30.0;

/// A map as bytes: light from the upper left, higher ground a little lighter.
struct Relief {
    rows: usize,
    columns: usize,
    greys: Vec<u8>,
}

fn relief(map: &HeightMap) -> Relief {
    let map = map.thinned(PIXELS);
    let (rows, columns, heights) = (map.rows(), map.columns(), map.heights_mm());
    let [dx, dy] = map.spacing().map(Length::millimetres);
    let (low, high) = heights
        .iter()
        .filter(|z| !z.is_nan())
        .fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), z| (low.min(*z), high.max(*z)));
    let span = f64::from(high - low).max(1e-9);
    let at = |r: usize, c: usize| heights[r.min(rows - 1) * columns + c.min(columns - 1)];
    let (lift, reach) = LAMP.to_radians().sin_cos();
    let light = [-reach / 2f64.sqrt(), -reach / 2f64.sqrt(), lift];
    let mut greys = Vec::with_capacity(rows * columns);
    for r in 0..rows {
        for c in 0..columns {
            let slope = |a: f32, b: f32, step: f64| {
                if a.is_nan() || b.is_nan() { 0.0 } else { f64::from(b - a) / (2.0 * step) }
            };
            let x = slope(at(r, c.saturating_sub(1)), at(r, c + 1), dx);
            let y = slope(at(r.saturating_sub(1), c), at(r + 1, c), dy);
            let z = at(r, c);
            if z.is_nan() {
                greys.push(255);
                continue;
            }
            let length = (1.0 + x * x + y * y).sqrt();
            let lit = ((-x * light[0] - y * light[1] + light[2]) / length).max(0.0) / lift;
            let height = f64::from(z - low) / span;
            let grey = 0.62 * lit.min(1.6) / 1.2 + 0.38 * height;
            greys.push((30.0 + 215.0 * grey.clamp(0.0, 1.0)) as u8);
        }
    }
    Relief { rows, columns, greys }
}

fn png(relief: &Relief) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    let size = (relief.columns as u32, relief.rows as u32);
    // Into memory, of as many bytes as the size says: nothing that could fail.
    let _ = image::ImageEncoder::write_image(
        encoder,
        &relief.greys,
        size.0,
        size.1,
        image::ExtendedColorType::L8,
    );
    bytes
}

/// Bytes as text of 64 signs (RFC 4648).
fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let word = three.iter().fold(0u32, |word, byte| word << 8 | u32::from(*byte))
            << (8 * (3 - three.len()));
        for k in 0..4 {
            let sign = SIGNS[(word >> (18 - 6 * k) & 63) as usize];
            out.push(if k > three.len() { '=' } else { char::from(sign) });
        }
    }
    out
}

/// The relief of a surface with its scales.
#[must_use]
pub fn texture_relief(texture: &Texture, words: Words) -> String {
    let units = words.units;
    let relief = relief(&texture.map);
    let [width, depth] = texture.map.size();
    let scale =
        ((WIDTH - 2.0 * MARGIN - 40.0) / width.millimetres()).min(150.0 / depth.millimetres());
    let (wide, high) = (width.millimetres() * scale, depth.millimetres() * scale);
    let mut body = String::new();
    let _ = writeln!(
        body,
        "<image x=\"{MARGIN}\" y=\"{MARGIN}\" width=\"{wide:.2}\" height=\"{high:.2}\" preserveAspectRatio=\"none\" href=\"data:image/png;base64,{}\"/>\n<rect x=\"{MARGIN}\" y=\"{MARGIN}\" width=\"{wide:.2}\" height=\"{high:.2}\" fill=\"none\" stroke=\"#111\" stroke-width=\".3\"/>",
        base64(&png(&relief))
    );
    // The scale of heights: lighter is higher.
    let (x, bar) = (MARGIN + wide + 5.0, high.clamp(20.0, 80.0));
    let _ = writeln!(
        body,
        "<defs><linearGradient id=\"h\" x1=\"0\" y1=\"1\" x2=\"0\" y2=\"0\"><stop offset=\"0\" stop-color=\"#444\"/><stop offset=\"1\" stop-color=\"#f4f4f4\"/></linearGradient></defs>\n<rect x=\"{x:.2}\" y=\"{MARGIN}\" width=\"5\" height=\"{bar:.2}\" fill=\"url(#h)\" stroke=\"#111\" stroke-width=\".3\"/>"
    );
    let heights = &texture.areal;
    text(
        &mut body,
        x + 7.0,
        MARGIN + 3.0,
        5.0,
        "start",
        &format!("+{}", heights.highest_peak.show_fine(units)),
    );
    text(
        &mut body,
        x + 7.0,
        MARGIN + bar,
        5.0,
        "start",
        &format!("−{}", heights.deepest_pit.show_fine(units)),
    );
    text(&mut body, x, MARGIN + bar + 6.0, 4.4, "start", &words.label("from-the-mean"));
    let _ = writeln!(
        body,
        "<path d=\"M{MARGIN} {0:.2}h{wide:.2}m0 -1.5v3M{MARGIN} {1:.2}v3\" stroke=\"#111\" stroke-width=\".3\" fill=\"none\"/>",
        MARGIN + high + 4.0,
        MARGIN + high + 2.5
    );
    text(
        &mut body,
        MARGIN + wide / 2.0,
        MARGIN + high + 10.5,
        5.0,
        "middle",
        &format!("{}   {}", width.show_fine(units), texture.treatment),
    );
    sheet((high + 2.0 * MARGIN + 8.0).max(bar + 22.0), &words.label("relief-of-the-surface"), &body)
}

/// A box with a curve in it.
fn chart(
    title: &str,
    points: &[(f64, f64)],
    x_ends: (f64, f64),
    y_ends: (f64, f64),
    labels: &[(f64, f64, &str, String)],
) -> String {
    let (left, top, wide, high) = (26.0, MARGIN, WIDTH - 26.0 - MARGIN, 52.0);
    let x = |v: f64| left + wide * (v - x_ends.0) / (x_ends.1 - x_ends.0).max(1e-12);
    let y = |v: f64| top + high * (1.0 - (v - y_ends.0) / (y_ends.1 - y_ends.0).max(1e-12));
    let mut body = String::new();
    let _ = writeln!(
        body,
        "<rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{high}\" fill=\"none\" stroke=\"#111\" stroke-width=\".25\"/>"
    );
    if y_ends.0 < 0.0 && y_ends.1 > 0.0 {
        let _ = writeln!(
            body,
            "<path d=\"M{left} {:.2}h{wide}\" stroke=\"#777\" stroke-width=\".2\" stroke-dasharray=\"1 1\"/>",
            y(0.0)
        );
    }
    let mut path = String::new();
    let mut open = false;
    for (px, py) in points {
        if !py.is_finite() {
            open = false;
            continue;
        }
        let _ = write!(path, "{}{:.2} {:.2}", if open { "L" } else { "M" }, x(*px), y(*py));
        open = true;
    }
    let _ = writeln!(
        body,
        "<path d=\"{path}\" fill=\"none\" stroke=\"#111\" stroke-width=\".45\" stroke-linejoin=\"round\"/>"
    );
    for (px, py, anchor, words) in labels {
        text(&mut body, left + wide * px, top + high * py, 3.4, anchor, words);
    }
    sheet(top + high + 13.0, title, &body)
}

/// The material ratio curve.
#[must_use]
pub fn texture_curve(texture: &Texture, words: Words) -> String {
    let units = words.units;
    let last = (texture.material_ratio.len().max(2) - 1) as f64;
    let points: Vec<(f64, f64)> = texture
        .material_ratio
        .iter()
        .enumerate()
        .map(|(k, z)| (k as f64 / last, z.millimetres()))
        .collect();
    let (high, low) = (points.first().map_or(0.0, |p| p.1), points.last().map_or(0.0, |p| p.1));
    let show = |mm: f64| Length::from_millimetres(mm).show_fine(units);
    chart(
        &words.label("material-ratio-curve"),
        &points,
        (0.0, 1.0),
        (low, high),
        &[
            (-0.01, 0.05, "end", show(high)),
            (-0.01, 1.0, "end", show(low)),
            (0.0, 1.09, "middle", "0".to_owned()),
            (0.5, 1.2, "middle", words.label("share-that-lies-higher")),
            (0.5, 1.09, "middle", "50".to_owned()),
            (1.0, 1.09, "middle", "100".to_owned()),
        ],
    )
}

/// The middle row as a profile.
#[must_use]
pub fn texture_profile(texture: &Texture, words: Words) -> String {
    let units = words.units;
    let line = texture.map.row_mm(texture.map.rows() / 2);
    let [step, _] = texture.map.spacing();
    let block = line.len().div_ceil(1200).max(1);
    let points: Vec<(f64, f64)> = line
        .chunks(block)
        .enumerate()
        .map(|(k, heights)| {
            let mean = heights.iter().map(|z| f64::from(*z)).sum::<f64>() / heights.len() as f64;
            ((k * block) as f64 * step.millimetres(), mean)
        })
        .collect();
    let (low, high) = points
        .iter()
        .filter(|p| p.1.is_finite())
        .fold((0.0f64, 0.0f64), |(low, high), p| (low.min(p.1), high.max(p.1)));
    let show = |mm: f64| Length::from_millimetres(mm).show_fine(units);
    let width = texture.map.size()[0];
    chart(
        &words.label("profile-of-the-middle-row"),
        &points,
        (0.0, width.millimetres()),
        (low, high),
        &[
            (-0.01, 0.05, "end", show(high)),
            (-0.01, 1.0, "end", show(low)),
            (0.0, 1.1, "middle", "0".to_owned()),
            (0.5, 1.1, "middle", words.label("along-the-middle-row-heights")),
            (1.0, 1.1, "end", width.show_fine(units)),
        ],
    )
}

/// Bars of the chances of CSP 1 to 10, the asked range framed.
#[must_use]
pub fn level_bars(grade: &Grade, asked: Option<ProfileRange>, words: Words) -> String {
    let (left, top, wide, high) = (MARGIN, MARGIN + 4.0, WIDTH - 2.0 * MARGIN, 40.0);
    let step = wide / 10.0;
    let mut body = String::new();
    if let Some(range) = asked {
        let (least, most) = (f64::from(range.least().chip()), f64::from(range.most().chip()));
        let _ = writeln!(
            body,
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"none\" stroke=\"#111\" stroke-width=\".8\" stroke-dasharray=\"3 1.5\"/>",
            left + step * (least - 1.0),
            top - 3.0,
            step * (most - least + 1.0),
            high + 10.0
        );
    }
    let [from, to] = grade.shortest_90;
    for (k, chance) in grade.probability.iter().enumerate() {
        let x = left + step * k as f64;
        let tall = high * chance.ratio();
        let chip = k as u8 + 1;
        let held = chip >= from.chip() && chip <= to.chip();
        let _ = writeln!(
            body,
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{tall:.2}\" fill=\"{}\" stroke=\"#111\" stroke-width=\".25\"/>",
            x + 0.18 * step,
            top + high - tall,
            0.64 * step,
            if held { "#222" } else { "#bbb" }
        );
        if chance.ratio() >= 0.005 {
            text(
                &mut body,
                x + step / 2.0,
                top + high - tall - 1.0,
                4.6,
                "middle",
                &format!("{:.0} %", chance.percent()),
            );
        }
        text(&mut body, x + step / 2.0, top + high + 5.0, 5.0, "middle", &chip.to_string());
    }
    let _ = writeln!(
        body,
        "<path d=\"M{left} {0:.2}h{wide}\" stroke=\"#111\" stroke-width=\".3\"/>",
        top + high
    );
    let told = match asked {
        Some(range) => {
            let chance = grade.chance_in(range.least(), range.most());
            said!("chance-of-each-level-and-asked", percent = decimal(chance.percent(), 0))
        }
        None => said!("chance-of-each-level"),
    };
    text(&mut body, left, top + high + 14.0, 4.6, "start", &words.say(&told));
    sheet(top + high + 18.0, &words.label("chance-of-each-profile-level"), &body)
}
