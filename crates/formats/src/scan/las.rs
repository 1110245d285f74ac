//! LAS and LAZ: the points' x, y and z, all returns and classes.
//!
//! What a head announces is held against the length of the file before the decoder believes
//! it. Fields of the head by their places in LAS 1.4 R15 (from memory).

use std::io::{BufReader, Read as _, Seek as _, SeekFrom};

use las::{Header, PointDataBuilder, Reader};
use laz::laszip::ChunkTable;
use tooth_measure::say::{Said, said};

use super::cloud::{self, Take};
use super::{Asked, Named, Scan, Source};
use crate::text::Fault;

/// Points read at a time at most, and bytes.
const PIECE: u64 = 65_536;
const PIECE_BYTES: u64 = 4 << 20;
const SHORTEST_HEAD: usize = 227;
const LONGEST_HEAD: usize = 375;
/// Bytes of the head of an extended record.
const EXTENDED: u64 = 60;
/// Extended records at most.
const RECORDS: u32 = 10_000;

pub(crate) fn read(named: &Named<'_>, source: &Source, asked: &Asked) -> Result<Scan, Fault> {
    let factor = named.unit(asked)?;
    check(named, source)?;
    cloud::map(named, asked, 1.0, |take| points(named, source, factor, take))
}

fn points(
    named: &Named<'_>,
    source: &Source,
    factor: f64,
    take: &mut Take<'_>,
) -> Result<(), Fault> {
    let wrong = |error: las::Error| named.refuse(said!("a-las-or-laz-file"), error.to_string());
    let mut reader =
        Reader::new(BufReader::with_capacity(1 << 20, source.open(named)?)).map_err(wrong)?;
    check_layers(named, source, reader.header())?;
    let mut data = PointDataBuilder::new().for_header(reader.header()).build();
    let mut piece: Vec<[f64; 3]> = Vec::with_capacity(PIECE as usize);
    let mut left = reader.header().number_of_points();
    let length = u64::from(reader.header().point_format().len()).max(1);
    let most = PIECE.min(PIECE_BYTES / length).max(1);
    while left > 0 {
        let read = reader.fill_points(most.min(left), &mut data).map_err(wrong)?;
        if read == 0 {
            return Err(
                named.refuse(said!("all-its-points"), said!("a-file-that-lacks", left = left))
            );
        }
        left -= read.min(left);
        piece.clear();
        let points = data.x().zip(data.y()).zip(data.z());
        piece.extend(points.map(|((x, y), z)| [x * factor, y * factor, z * factor]));
        take(&piece)?;
    }
    Ok(())
}

/// Whether the announced records and points can be in the file.
fn check(named: &Named<'_>, source: &Source) -> Result<(), Fault> {
    let bytes = source.length(named)?.unwrap_or(0);
    let mut file = source.open(named)?;
    let mut head = vec![0u8; LONGEST_HEAD];
    let mut read = 0;
    while let Ok(now @ 1..) = file.read(&mut head[read..]) {
        read += now;
    }
    head.truncate(read);
    let wrong = |found: Said| named.refuse(said!("a-las-or-laz-file"), found);
    if read < SHORTEST_HEAD {
        return Err(wrong(said!("a-head-that-ends-too-soon")));
    }
    let long = |at: usize| number(&head, at, 4);
    let (start, length) = (long(96), number(&head, 105, 2));
    let is_new = head[25] >= 4 && read >= LONGEST_HEAD;
    let points = if is_new { number(&head, 247, 8) } else { long(107) };
    let is_packed = head[104] & 0x80 != 0;
    if start > bytes || length == 0 {
        return Err(wrong(said!("points-that-begin-at-byte", start = start, bytes = bytes)));
    }
    if !is_packed && points.checked_mul(length).is_none_or(|all| all > bytes - start) {
        return Err(wrong(said!(
            "points-of-bytes-in-bytes",
            points = points,
            length = length,
            bytes = bytes
        )));
    }
    if is_packed {
        let mut place = [0u8; 8];
        let mut table = None;
        if file.seek(SeekFrom::Start(start)).is_ok() && file.read_exact(&mut place).is_ok() {
            table = u64::try_from(i64::from_le_bytes(place)).ok();
            if table.is_none() && file.seek(SeekFrom::End(-8)).is_ok() {
                table = file.read_exact(&mut place).ok().map(|()| u64::from_le_bytes(place));
            }
        }
        let at = table.and_then(|table| table.checked_add(4));
        let there = at.is_some_and(|at| file.seek(SeekFrom::Start(at)).is_ok());
        let mut count = [0u8; 4];
        if !there || file.read_exact(&mut count).is_err() {
            return Err(wrong(said!("a-file-without-its-table-of-chunks")));
        }
        let chunks = u64::from(u32::from_le_bytes(count));
        if chunks > bytes || chunks > points.saturating_add(1) {
            return Err(wrong(said!("chunks-in-bytes", chunks = chunks, bytes = bytes)));
        }
    }
    if !is_new {
        return Ok(());
    }
    let (mut at, records) = (number(&head, 235, 8), number(&head, 243, 4) as u32);
    if records > RECORDS {
        return Err(wrong(said!("extended-records", records = records)));
    }
    for _ in 0..records {
        let mut record = [0u8; EXTENDED as usize];
        let there = file.seek(SeekFrom::Start(at)).is_ok() && file.read_exact(&mut record).is_ok();
        let end = at.checked_add(EXTENDED).and_then(|end| end.checked_add(number(&record, 20, 8)));
        at = match end {
            Some(end) if there && end <= bytes => end,
            _ => return Err(wrong(said!("an-extended-record-beyond-its-end"))),
        };
    }
    Ok(())
}

/// A whole number of so many bytes, the lowest first.
fn number(bytes: &[u8], at: usize, size: usize) -> u64 {
    bytes[at..at + size].iter().rev().fold(0, |number, byte| number << 8 | u64::from(*byte))
}

/// Layers of a chunk of the packed formats 6 and up: those of every point, before colours and
/// the like.
const LAYERS: usize = 9;

/// Whether the layers of each chunk of a packed file can be in it: the decoder makes room for
/// what they announce.
fn check_layers(named: &Named<'_>, source: &Source, header: &Header) -> Result<(), Fault> {
    let format = header.point_format();
    if !format.is_compressed || !format.is_extended {
        return Ok(());
    }
    let wrong =
        || named.refuse(said!("a-laz-file"), said!("chunks-that-do-not-hold-what-they-announce"));
    let vlr =
        header.laz_vlr().map_err(|error| named.refuse(said!("a-laz-file"), error.to_string()))?;
    let mut file = BufReader::new(source.open(named)?);
    let mut bytes = [0u8; 4];
    // Where the points begin stands in the head.
    let mut number = |file: &mut BufReader<_>, at: u64| -> Option<u64> {
        file.seek(SeekFrom::Start(at)).ok()?;
        file.read_exact(&mut bytes).ok()?;
        Some(u64::from(u32::from_le_bytes(bytes)))
    };
    let start = number(&mut file, 96).ok_or_else(wrong)?;
    file.seek(SeekFrom::Start(start)).map_err(|_| wrong())?;
    let table = ChunkTable::read_from(&mut file, &vlr).map_err(|_| wrong())?;
    let layers = LAYERS
        + usize::from(format.has_color)
        + usize::from(format.has_nir)
        + usize::from(format.has_waveform)
        + usize::from(format.extra_bytes);
    let mut chunk = start + 8;
    for entry in &table {
        // A whole point, how many follow, then the length of each layer.
        let first = chunk + u64::from(format.len());
        let mut sum = 0u64;
        for layer in 0..layers as u64 {
            sum += number(&mut file, first + 4 + 4 * layer).ok_or_else(wrong)?;
        }
        if sum > entry.byte_count {
            return Err(wrong());
        }
        chunk = chunk.checked_add(entry.byte_count).ok_or_else(wrong)?;
    }
    Ok(())
}
