//! X3P of ISO 25178-72 (layout after the openGPS description): a zip with `main.xml` and the
//! heights in it or in a binary beside it, in metres.

use std::io::{BufReader, Read as _};

use md5::{Digest as _, Md5};
use quick_xml::Reader;
use quick_xml::events::Event;
use tooth_measure::Length;
use tooth_measure::say::{Said, said};
use tooth_texture::HeightMap;
use zip::ZipArchive;

use super::{Asked, Named, Opened, Scan, cloud, grid_scan};
use crate::text::Fault;

/// Points listed in place at most.
const LISTED: usize = 1 << 22;
/// Bytes that a part may be longer than its points.
const SLACK: u64 = 4096;
const XML: u64 = 64 << 20;
const HEIGHTS: usize = 1 << 28;

/// What `main.xml` says.
#[derive(Default)]
struct Main {
    axes: [Axis; 3],
    sizes: [usize; 3],
    list: usize,
    feature: String,
    link: String,
    checksum: String,
    valid_link: String,
    valid_checksum: String,
    /// Text of the points listed in place.
    data: Vec<String>,
    /// A size that is no whole number.
    bad_size: Option<String>,
}

#[derive(Default, Clone)]
struct Axis {
    kind: String,
    data: String,
    increment: Option<f64>,
    offset: f64,
}

impl Axis {
    fn is_even(&self) -> bool {
        self.kind == "I"
    }

    fn is_known(&self) -> bool {
        matches!(self.data.as_str(), "I" | "L" | "F" | "D")
    }

    fn size(&self) -> usize {
        match self.data.as_str() {
            "I" => 2,
            "D" => 8,
            _ => 4,
        }
    }

    fn value(&self, bytes: &[u8]) -> f64 {
        match (self.data.as_str(), bytes) {
            ("I", [a, b]) => f64::from(i16::from_le_bytes([*a, *b])),
            ("L", [a, b, c, d]) => f64::from(i32::from_le_bytes([*a, *b, *c, *d])),
            ("F", [a, b, c, d]) => f64::from(f32::from_le_bytes([*a, *b, *c, *d])),
            ("D", [a, b, c, d, e, f, g, h]) => f64::from_le_bytes([*a, *b, *c, *d, *e, *f, *g, *h]),
            _ => f64::NAN,
        }
    }

    /// Millimetres of a stored value.
    fn scaled(&self, value: f64) -> f64 {
        let whole = matches!(self.data.as_str(), "I" | "L");
        let step = if whole { self.increment.unwrap_or(1.0) } else { 1.0 };
        (value * step + self.offset) * 1000.0
    }
}

pub(crate) fn read(named: &Named<'_>, file: Opened, asked: &Asked) -> Result<Scan, Fault> {
    let wrong = |found: Said| named.refuse(said!("an-x3p-file"), found);
    let mut zip =
        ZipArchive::new(BufReader::new(file)).map_err(|error| wrong(error.to_string().into()))?;
    let main = part(named, &mut zip, "main.xml", XML)?;
    let main = parsed(named, &main)?;
    if let Some(size) = &main.bad_size {
        return Err(wrong(said!("a-size-that-is-no-number", size = size)));
    }
    if let Some(axis) = main.axes.iter().find(|axis| !axis.is_even() && !axis.is_known()) {
        return Err(named.refuse(said!("axes-of-type-i-l-f-or-d"), format!("`{}`", axis.data)));
    }
    if !main.axes[2].is_known() {
        return Err(
            named.refuse(said!("heights-of-type-i-l-f-or-d"), format!("`{}`", main.axes[2].data))
        );
    }
    let is_cloud = main.feature == "PCL" || !main.axes[0].is_even() || !main.axes[1].is_even();
    let count = if main.sizes[0] > 0 {
        main.sizes.iter().map(|size| (*size).max(1)).try_fold(1usize, usize::checked_mul)
    } else {
        Some(main.list)
    };
    let count = count.filter(|count| (1..=HEIGHTS).contains(count));
    let Some(count) = count else {
        return Err(wrong(said!("points-of-sizes", sizes = format!("{:?}", main.sizes))));
    };
    let (mut points, mut heights) = (Vec::new(), Vec::new());
    // A grid needs no more than its heights.
    let mut take = |point: [f64; 3]| {
        if is_cloud {
            points.push(point);
        } else {
            heights.push(point[2]);
        }
    };
    if main.link.is_empty() {
        listed(named, &main, count)?.into_iter().for_each(take);
    } else {
        stored(named, &mut zip, &main, count, &mut take)?;
    }
    if is_cloud {
        return cloud::map(named, asked, 1.0, |take| take(&points));
    }
    if main.sizes[2] > 1 {
        return Err(wrong(said!("layers-of-which-one-is-read", count = main.sizes[2])));
    }
    let (columns, rows) =
        if main.sizes[0] > 0 { (main.sizes[0], main.sizes[1].max(1)) } else { (main.list, 1) };
    let step = |axis: &Axis| {
        axis.increment
            .map(|increment| Length::from_metres(increment.abs()))
            .ok_or_else(|| wrong(said!("an-axis-without-an-increment")))
    };
    let x = step(&main.axes[0])?;
    let y = if rows == 1 { x } else { step(&main.axes[1])? };
    Ok(grid_scan(named.map(HeightMap::new(rows, columns, [x, y], &heights))?))
}

fn part(
    named: &Named<'_>,
    zip: &mut ZipArchive<BufReader<Opened>>,
    name: &str,
    most: u64,
) -> Result<Vec<u8>, Fault> {
    let wrong = |found: Said| named.refuse(said!("an-x3p-file-with", name = name), found);
    let file = zip.by_name(name).map_err(|error| wrong(error.to_string().into()))?;
    let mut bytes = Vec::new();
    // What is announced may not be there, and more may be.
    file.take(most + 1).read_to_end(&mut bytes).map_err(|error| wrong(error.to_string().into()))?;
    if bytes.len() as u64 > most {
        return Err(wrong(said!("more-than-bytes", most = most)));
    }
    Ok(bytes)
}

fn parsed(named: &Named<'_>, xml: &[u8]) -> Result<Main, Fault> {
    let wrong = |found: Said| named.refuse(said!("a-readable-main-xml"), found);
    let mut reader = Reader::from_reader(xml);
    let mut path: Vec<String> = Vec::new();
    let mut main = Main::default();
    let mut text = String::new();
    loop {
        match reader.read_event() {
            Err(error) => return Err(wrong(error.to_string().into())),
            Ok(Event::Eof) => return Ok(main),
            Ok(Event::Start(start)) => {
                if path.len() > 32 {
                    return Err(wrong(said!("elements-too-deep")));
                }
                path.push(start.local_name().as_ref().to_owned());
                text.clear();
            }
            Ok(Event::Text(piece)) => text.push_str(&piece),
            Ok(Event::CData(piece)) => text.push_str(&piece),
            Ok(Event::GeneralRef(name)) => match name.resolve_char_ref() {
                Ok(Some(sign)) => text.push(sign),
                _ => return Err(wrong(said!("the-entity", name = &*name))),
            },
            Ok(Event::Empty(empty)) => {
                if empty.local_name().as_ref() == "Datum" {
                    main.data.push(String::new());
                }
            }
            Ok(Event::End(_)) => {
                note(&mut main, &path, text.trim());
                if main.data.len() > LISTED {
                    return Err(wrong(said!("more-points-listed-in-place", most = LISTED)));
                }
                text.clear();
                path.pop();
            }
            Ok(_) => {}
        }
    }
}

fn note(main: &mut Main, path: &[String], text: &str) {
    let last: Vec<&str> = path.iter().rev().take(2).map(String::as_str).collect();
    let [name, of] = last.as_slice() else { return };
    let axis = ["CX", "CY", "CZ"].iter().position(|axis| axis == of);
    let number = || text.parse::<f64>().ok().filter(|value| value.is_finite());
    match (*name, axis) {
        ("AxisType", Some(axis)) => text.clone_into(&mut main.axes[axis].kind),
        ("DataType", Some(axis)) => text.clone_into(&mut main.axes[axis].data),
        ("Increment", Some(axis)) => main.axes[axis].increment = number(),
        ("Offset", Some(axis)) => main.axes[axis].offset = number().unwrap_or(0.0),
        ("FeatureType", _) => text.clone_into(&mut main.feature),
        ("SizeX" | "SizeY" | "SizeZ" | "ListDimension", _) => match (text.parse(), *name) {
            (Ok(size), "SizeX") => main.sizes[0] = size,
            (Ok(size), "SizeY") => main.sizes[1] = size,
            (Ok(size), "SizeZ") => main.sizes[2] = size,
            (Ok(size), _) => main.list = size,
            (Err(_), _) => main.bad_size = Some(text.to_owned()),
        },
        ("PointDataLink", _) => text.clone_into(&mut main.link),
        ("MD5ChecksumPointData", _) => main.checksum = text.to_lowercase(),
        ("MD5ChecksumValidPoints", _) => main.valid_checksum = text.to_lowercase(),
        ("ValidPointsLink", _) => text.clone_into(&mut main.valid_link),
        ("Datum", _) => main.data.push(text.to_owned()),
        _ => {}
    }
}

/// Points that stand in `main.xml`, in millimetres; an empty one is missing.
fn listed(named: &Named<'_>, main: &Main, count: usize) -> Result<Vec<[f64; 3]>, Fault> {
    if main.data.len() != count {
        return Err(named.refuse(said!("points", count = count), main.data.len().to_string()));
    }
    let even = main.axes[0].is_even() && main.axes[1].is_even();
    main.data
        .iter()
        .map(|datum| {
            let values: Vec<&str> =
                datum.split(';').map(str::trim).filter(|v| !v.is_empty()).collect();
            let parse = |axis: usize, text: &str| {
                text.parse::<f64>()
                    .map(|value| main.axes[axis].scaled(value))
                    .map_err(|_| named.refuse(said!("coordinates"), format!("`{text}`")))
            };
            match (values.as_slice(), even) {
                ([], _) => Ok([f64::NAN; 3]),
                ([x, y, z], false) => Ok([parse(0, x)?, parse(1, y)?, parse(2, z)?]),
                ([.., z], true) => Ok([0.0, 0.0, parse(2, z)?]),
                _ => Err(named.refuse(said!("three-coordinates"), format!("`{datum}`"))),
            }
        })
        .collect()
}

/// Points of the binary beside it, in millimetres.
fn stored(
    named: &Named<'_>,
    zip: &mut ZipArchive<BufReader<Opened>>,
    main: &Main,
    count: usize,
    take: &mut dyn FnMut([f64; 3]),
) -> Result<(), Fault> {
    // Axes with even steps are not stored.
    let stored: Vec<usize> =
        (0..3).filter(|axis| *axis == 2 || !main.axes[*axis].is_even()).collect();
    let size: usize = stored.iter().map(|axis| main.axes[*axis].size()).sum();
    let bytes = part(named, zip, &main.link, (count * size) as u64 + SLACK)?;
    summed(named, &bytes, &main.checksum)?;
    let valid = if main.valid_link.is_empty() {
        None
    } else {
        let mask = part(named, zip, &main.valid_link, (count as u64).div_ceil(8) + SLACK)?;
        summed(named, &mask, &main.valid_checksum)?;
        if mask.len() < count.div_ceil(8) {
            let expected = said!("a-mask-of-points", count = count);
            return Err(named.refuse(expected, said!("bytes", count = mask.len())));
        }
        Some(mask)
    };
    if bytes.len() < count * size {
        let found = said!("bytes", count = bytes.len());
        return Err(named.refuse(said!("bytes-of-points", count = count * size), found));
    }
    for (index, record) in bytes.chunks_exact(size).take(count).enumerate() {
        let is_valid = valid.as_ref().is_none_or(|mask| mask[index / 8] >> (index % 8) & 1 == 1);
        if !is_valid {
            take([f64::NAN; 3]);
            continue;
        }
        let mut point = [0.0; 3];
        let mut at = 0;
        for axis in &stored {
            let of = &main.axes[*axis];
            point[*axis] = of.scaled(of.value(&record[at..at + of.size()]));
            at += of.size();
        }
        take(point);
    }
    Ok(())
}

/// Whether bytes have the checksum that `main.xml` states, where it states one.
fn summed(named: &Named<'_>, bytes: &[u8], checksum: &str) -> Result<(), Fault> {
    let found: String = Md5::digest(bytes).iter().map(|b| format!("{b:02x}")).collect();
    if checksum.is_empty() || found == checksum {
        return Ok(());
    }
    let expected = said!("points-with-the-checksum", checksum = checksum);
    Err(named.refuse(expected, said!("a-damaged-or-changed-file", found = found)))
}
