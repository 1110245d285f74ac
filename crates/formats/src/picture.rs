//! A picture for its colours: JPEG or PNG, turned as the camera was held, in sRGB or Display P3.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use image::{DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};
use tooth_measure::colour::{Picture, RgbSpace};
use tooth_measure::say::{Said, said};

use crate::limits;
use crate::text::Fault;

/// Pixels of a picture and the space in which they are meant.
#[derive(Debug, Clone)]
pub struct Photograph {
    width: u32,
    height: u32,
    pixels: Vec<u8>,
    /// The space; sRGB where the file says none.
    pub space: RgbSpace,
    /// Whether the file says it.
    pub space_is_stated: bool,
}

impl Photograph {
    /// Width and height in pixels, as the picture is shown.
    #[must_use]
    pub const fn size(&self) -> [u32; 2] {
        [self.width, self.height]
    }

    /// The picture; `None` never happens to one that was read.
    #[must_use]
    pub fn picture(&self) -> Option<Picture<'_>> {
        Picture::new(self.width, self.height, &self.pixels, self.space)
    }
}

/// Reads a picture.
///
/// # Errors
/// A fault of the file: what was expected and what was found.
pub fn photograph(path: &Path) -> Result<Photograph, Fault> {
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    let fault = |(expected, found): (Said, Said)| Fault::new(&name, None, "", expected, found);
    read(path).and_then(|bytes| decoded(&bytes)).map_err(fault)
}

fn read(path: &Path) -> Result<Vec<u8>, (Said, Said)> {
    let unreadable = |error: std::io::Error| {
        (said!("colour-readable-picture"), format!("`{}`: {error}", path.display()).into())
    };
    let data = fs::metadata(path).map_err(unreadable)?;
    if !data.is_file() {
        let found = said!("colour-no-plain-file", file = path.display().to_string());
        return Err((said!("colour-readable-picture"), found));
    }
    if data.len() > limits::PHOTO_BYTES {
        let found = said!("colour-so-many-bytes", count = data.len());
        return Err((said!("colour-at-most-64-mib"), found));
    }
    fs::read(path).map_err(unreadable)
}

/// Reads the bytes of a picture.
///
/// # Errors
/// What was expected and what was found.
pub fn decoded(bytes: &[u8]) -> Result<Photograph, (Said, Said)> {
    let format = match image::guess_format(bytes) {
        Ok(format @ (ImageFormat::Jpeg | ImageFormat::Png)) => format,
        _ => return Err((said!("colour-jpeg-or-png"), said!("colour-another-kind"))),
    };
    let broken =
        |error: image::ImageError| (said!("colour-whole-picture"), Said::Given(error.to_string()));
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut bounds = Limits::default();
    bounds.max_image_width = Some(limits::PICTURE_SIDE);
    bounds.max_image_height = Some(limits::PICTURE_SIDE);
    reader.limits(bounds);
    let mut decoder = reader.into_decoder().map_err(broken)?;
    if !decoder.color_type().has_color() {
        return Err((said!("colour-picture-in-colour"), said!("colour-greys-only")));
    }
    let profile = decoder.icc_profile().map_err(broken)?;
    let turned = decoder.orientation().map_err(broken)?;
    let space = match &profile {
        None => RgbSpace::Srgb,
        Some(profile) => space_of(profile)
            .ok_or_else(|| (said!("colour-srgb-or-display-p3"), said!("colour-another-profile")))?,
    };
    let mut image = DynamicImage::from_decoder(decoder).map_err(broken)?;
    image.apply_orientation(turned);
    let image = image.into_rgb8();
    let (width, height) = image.dimensions();
    let space_is_stated = profile.is_some();
    Ok(Photograph { width, height, pixels: image.into_raw(), space, space_is_stated })
}

/// X, Y and Z of red, green and blue as profiles state them, brought to D50 by Bradford's
/// transform; computed from the primaries.
const COLORANTS: [(RgbSpace, [[f64; 3]; 3]); 2] = [
    (
        RgbSpace::Srgb,
        [[0.4360, 0.2225, 0.0139], [0.3851, 0.7169, 0.0971], [0.1430, 0.0606, 0.7139]],
    ),
    (
        RgbSpace::DisplayP3,
        [[0.5151, 0.2412, -0.0011], [0.2920, 0.6922, 0.0419], [0.1571, 0.0666, 0.7841]],
    ),
];
/// What profiles of the same space differ by in rounding and in their D50.
const ALIKE: f64 = 0.004;

/// The space of an ICC profile (ISO 15076-1) by its three colorants; none of any other.
fn space_of(profile: &[u8]) -> Option<RgbSpace> {
    let colorants = [b"rXYZ", b"gXYZ", b"bXYZ"].map(|tag| colorant(profile, tag));
    let [Some(red), Some(green), Some(blue)] = colorants else { return None };
    let found = [red, green, blue];
    let alike = |known: &[[f64; 3]; 3]| {
        found.iter().flatten().zip(known.iter().flatten()).all(|(a, b)| (a - b).abs() < ALIKE)
    };
    COLORANTS.iter().find(|(_, known)| alike(known)).map(|(space, _)| *space)
}

/// Header of 128 bytes, number of tags, then each tag's name, offset and size; an `XYZ ` tag
/// holds three numbers in 65,536ths after eight bytes.
fn colorant(profile: &[u8], tag: &[u8; 4]) -> Option<[f64; 3]> {
    let four = |at: usize| profile.get(at..at.checked_add(4)?)?.try_into().ok();
    let number = |at: usize| four(at).map(u32::from_be_bytes);
    let count = number(128)?.min(256) as usize;
    let entry = (0..count).map(|entry| 132 + 12 * entry).find(|at| four(*at) == Some(*tag))?;
    let from = number(entry + 4)? as usize;
    if four(from)? != *b"XYZ " {
        return None;
    }
    let value = |at: usize| {
        four(from.checked_add(8 + 4 * at)?)
            .map(|bytes| f64::from(i32::from_be_bytes(bytes)) / 65_536.0)
    };
    Some([value(0)?, value(1)?, value(2)?])
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test fails loudly")]
mod tests {
    use super::*;

    fn profile(colorants: &[[f64; 3]; 3]) -> Vec<u8> {
        let mut bytes = vec![0; 128];
        bytes.extend(3_u32.to_be_bytes());
        for (at, tag) in [b"rXYZ", b"gXYZ", b"bXYZ"].iter().enumerate() {
            bytes.extend(*tag);
            bytes.extend((168 + 20 * at as u32).to_be_bytes());
            bytes.extend(20_u32.to_be_bytes());
        }
        for colorant in colorants {
            bytes.extend(b"XYZ \0\0\0\0");
            for value in colorant {
                bytes.extend(((value * 65_536.0).round() as i32).to_be_bytes());
            }
        }
        bytes
    }

    #[test]
    fn a_profile_is_told_by_its_colorants() {
        for (space, colorants) in COLORANTS {
            assert_eq!(space_of(&profile(&colorants)), Some(space));
        }
        // Wider still.
        let wide = [[0.6097, 0.3111, 0.0195], [0.2053, 0.6257, 0.0609], [0.1492, 0.0632, 0.7446]];
        assert_eq!(space_of(&profile(&wide)), None);
    }

    #[test]
    fn a_profile_that_is_cut_short_is_of_no_space() {
        let whole = profile(&COLORANTS[0].1);
        for length in 0..whole.len() {
            assert_eq!(space_of(&whole[..length]), None, "{length} bytes");
        }
        let mut beyond = whole;
        beyond[136..140].copy_from_slice(&u32::MAX.to_be_bytes());
        assert_eq!(space_of(&beyond), None);
    }

    fn png(image: &DynamicImage) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        image.write_to(&mut bytes, ImageFormat::Png).unwrap();
        bytes.into_inner()
    }

    #[test]
    fn pictures_are_read_and_what_is_none_is_refused() {
        let colour =
            DynamicImage::ImageRgb8(image::RgbImage::from_pixel(3, 2, image::Rgb([200, 100, 50])));
        let bytes = png(&colour);
        let read = decoded(&bytes).unwrap();
        assert_eq!(
            (read.size(), read.space, read.space_is_stated),
            ([3, 2], RgbSpace::Srgb, false)
        );
        assert_eq!(read.pixels[..3], [200, 100, 50]);
        assert!(read.picture().is_some());
        let refused = |bytes: &[u8]| decoded(bytes).unwrap_err().0.name().to_owned();
        assert_eq!(refused(&png(&colour.grayscale())), "colour-picture-in-colour");
        assert_eq!(refused(&bytes[..bytes.len() / 2]), "colour-whole-picture");
        assert_eq!(refused(b"GIF89a"), "colour-jpeg-or-png");
        assert_eq!(refused(b""), "colour-jpeg-or-png");
    }
}
