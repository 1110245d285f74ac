//! Points as text: x, y and z on a line, apart by spaces, commas or semicolons. Lines that
//! begin with `#` or `//` are passed over.

use std::io::{BufRead as _, BufReader};

use tooth_measure::say::said;

use super::cloud::{self, Take};
use super::{Asked, Named, Scan, Source};
use crate::text::Fault;

/// Characters of a line at most.
const LINE: usize = 4096;
const PIECE: usize = 4096;

/// Numbers of a line.
pub(crate) fn numbers(line: &str) -> impl Iterator<Item = &str> {
    line.split([',', ';', ' ', '\t']).map(str::trim).filter(|cell| !cell.is_empty())
}

/// Each line with its number, without its end; long ones are refused.
pub(crate) fn lines(
    named: &Named<'_>,
    source: &Source,
    mut take: impl FnMut(u32, &str) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let file = source.open(named)?;
    let mut file = BufReader::with_capacity(1 << 18, file);
    let (mut bytes, mut number) = (Vec::new(), 0u32);
    loop {
        bytes.clear();
        // A file without line ends is no text: read no more of it than a long row.
        let mut limited = std::io::Read::take(&mut file, ROW);
        let read = limited
            .read_until(b'\n', &mut bytes)
            .map_err(|error| named.refuse(said!("a-readable-file"), error.to_string()))?;
        if read == 0 {
            return Ok(());
        }
        number = number.saturating_add(1);
        if read as u64 == ROW {
            return Err(named.at(number, said!("lines-of-text"), said!("a-line-without-an-end")));
        }
        let text = std::str::from_utf8(&bytes)
            .map_err(|_| named.at(number, said!("utf-8-text"), said!("other-bytes")))?;
        let text = if number == 1 { text.trim_start_matches('\u{feff}') } else { text };
        if text.contains(';') && text.contains(',') {
            let expected = said!("numbers-with-decimal-points-apart-by-one-kind-of-sign");
            return Err(named.at(number, expected, said!("both-and")));
        }
        // A tab at an end is an empty cell.
        take(number, text.trim_matches([' ', '\r', '\n']))?;
    }
}

/// Bytes of the longest row of a grid.
const ROW: u64 = 4 << 20;

pub(crate) fn cloud(named: &Named<'_>, source: &Source, asked: &Asked) -> Result<Scan, Fault> {
    let factor = named.unit(asked)?;
    cloud::map(named, asked, 1.0, |take| points(named, source, factor, None, [0, 1, 2], take))
}

/// Points of three columns; of a table, from the line after its heading on, where an empty cell
/// is a missing point.
pub(crate) fn points(
    named: &Named<'_>,
    source: &Source,
    factor: f64,
    heading: Option<u32>,
    columns: [usize; 3],
    take: &mut Take<'_>,
) -> Result<(), Fault> {
    let mut piece = Vec::with_capacity(PIECE);
    lines(named, source, |number, line| {
        if heading.is_some_and(|heading| number <= heading)
            || line.is_empty()
            || line.starts_with('#')
            || line.starts_with("//")
        {
            return Ok(());
        }
        if line.len() > LINE {
            return Err(named.at(number, said!("x-y-and-z"), said!("a-long-line")));
        }
        let cells: Vec<&str> = if heading.is_some() {
            line.split([',', ';', '\t']).map(str::trim).collect()
        } else {
            numbers(line).collect()
        };
        let of = columns.map(|column| cells.get(column).copied().unwrap_or_default());
        if heading.is_some() && of.iter().any(|cell| super::columns::is_missing(cell)) {
            return Ok(());
        }
        let point = of.map(|cell| cell.parse::<f64>().ok());
        let [Some(x), Some(y), Some(z)] = point else {
            // A heading without a unit, or a count, as some programs write first.
            if number == 1 && heading.is_none() {
                return Ok(());
            }
            let short: String = line.chars().take(40).collect();
            return Err(named.at(number, said!("x-y-and-z-as-numbers"), format!("`{short}`")));
        };
        piece.push([x * factor, y * factor, z * factor]);
        if piece.len() == PIECE {
            take(&piece)?;
            piece.clear();
        }
        Ok(())
    })?;
    take(&piece)
}
