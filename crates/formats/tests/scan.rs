//! Scans: a known surface that an independent writer wrote is read as it was; damaged and
//! hostile files are refused with one fault, quickly.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

mod told;

use told::told;
mod scan_files;

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use scan_files::*;
use tiff::encoder::colortype;
use tooth_formats::Fault;
use tooth_formats::scan::{Asked, ENDINGS, Kind, Scan, scan};
use tooth_measure::{Length, Quantity as _};

/// Of one answer, however hostile the file; far above what any takes.
const PATIENCE: Duration = Duration::from_secs(8);

fn asked(spacing_mm: impl Into<Option<f64>>, unit: impl Into<Option<&'static str>>) -> Asked {
    Asked {
        spacing: spacing_mm.into().map(Length::from_millimetres),
        unit: unit.into().map(|unit| Length::parse(&format!("1 {unit}")).unwrap()),
    }
}

/// Reads bytes under a name. A fault is always whole, and never late.
fn read(name: &str, bytes: &[u8], asked: &Asked) -> Result<Scan, Fault> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    fs::write(&path, bytes).unwrap();
    let start = Instant::now();
    let answer = scan(&path, asked);
    assert!(start.elapsed() < PATIENCE, "{name}: {:?}", start.elapsed());
    match &answer {
        Ok(scan) => {
            let heights = scan.map.heights_mm();
            assert_eq!(heights.len(), scan.map.rows() * scan.map.columns());
            assert!(heights.iter().all(|z| !z.is_infinite()), "{name}: an endless height");
        }
        Err(fault) => {
            assert_eq!(fault.file, name);
            assert!(!fault.expected.is_nothing() && !fault.found.is_nothing(), "{fault:?}");
        }
    }
    answer
}

fn refused(name: &str, bytes: &[u8], asked: &Asked, words: &str) {
    let fault = told(&read(name, bytes, asked).unwrap_err());
    assert!(fault.contains(words), "`{words}` is not in: {fault:?}");
}

/// That a grid was read as it was written.
fn same(scan: &Scan, [x, y]: [f64; 2], heights: &[f64]) {
    let map = &scan.map;
    assert_eq!((map.rows(), map.columns()), (ROWS, COLUMNS));
    assert_eq!(scan.kind, Kind::Grid);
    for (read, known) in map.spacing().iter().zip([x, y]) {
        assert!((read.millimetres() - known).abs() < 1e-9 * known, "{read:?}");
    }
    for (index, (read, known)) in map.heights_mm().iter().zip(heights).enumerate() {
        let read = f64::from(*read) + map.datum().millimetres();
        assert_eq!(read.is_nan(), known.is_nan(), "{index}: {read} {known}");
        assert!(known.is_nan() || (read - known).abs() < 1e-6, "{index}: {read} {known}");
    }
}

fn same_bumps(scan: &Scan, hole: bool) {
    let map = &scan.map;
    assert_eq!((map.rows(), map.columns()), (ROWS, COLUMNS));
    assert!((map.spacing()[0].millimetres() - 1.0).abs() < 1e-9);
    assert!(matches!(scan.kind, Kind::Cloud { outside: 0, .. }), "{:?}", scan.kind);
    for row in 0..ROWS {
        for (column, z) in map.row_mm(row).iter().enumerate() {
            if hole && (row, column) == (4, 5) {
                assert!(z.is_nan());
            } else {
                assert!((f64::from(*z) - bump(row, column)).abs() < 1e-3, "{row} {column} {z}");
            }
        }
    }
}

/// One valid file of each kind, and what is said of it.
fn samples() -> Vec<(&'static str, Vec<u8>, Asked)> {
    let (none, cloud, grid) = (asked(None, None), asked(None, "mm"), asked(0.5, "mm"));
    let int = |z: Option<i16>| z.unwrap_or(i16::MIN).to_le_bytes();
    vec![
        ("binary.x3p", x3p(), none),
        ("masked.x3p", x3p_masked(), none),
        ("listed.x3p", x3p_listed(), none),
        ("cloud.x3p", x3p_cloud(), cloud),
        ("text.sdf", sdf_text(), none),
        ("bytes.sdf", sdf_bytes(5, int), none),
        ("text.ply", ply("ascii"), cloud),
        ("little.ply", ply("binary_little_endian"), cloud),
        ("big.ply", ply("binary_big_endian"), cloud),
        ("bytes.stl", stl_bytes(&mesh(4, 5, 1.0), "a test"), cloud),
        ("text.stl", stl_text(&mesh(4, 5, 1.0)), cloud),
        ("points.las", las(0, 2, false), cloud),
        ("points.laz", las(3, 2, true), cloud),
        ("layers.laz", las(7, 4, true), cloud),
        ("points.xyz", xyz(), cloud),
        ("grid.csv", csv_grid(), grid),
        ("points.csv", csv_points("mm", 1.0), cloud),
        ("profile.csv", csv_profile(), none),
        ("grid.npy", npy_grid("<f4", false), grid),
        ("grid.tif", tiff_floats(), grid),
    ]
}

// Grids.

#[test]
fn an_x3p_is_read_from_its_binary_and_from_listed_points() {
    for bytes in [x3p(), x3p_listed()] {
        same(&read("a.x3p", &bytes, &asked(None, None)).unwrap(), [0.2, 0.3], &millimetres());
    }
    // The kind is told by what is in the file.
    same(&read("a.dat", &x3p(), &asked(None, None)).unwrap(), [0.2, 0.3], &millimetres());
}

#[test]
fn points_that_an_x3p_masks_are_missing() {
    let scan = read("a.x3p", &x3p_masked(), &asked(None, None)).unwrap();
    same(&scan, [0.2, 0.3], &millimetres());
}

#[test]
fn an_x3p_of_points_is_a_cloud() {
    let scan = read("a.x3p", &x3p_cloud(), &asked(1.0, None)).unwrap();
    same_bumps(&scan, true);
    assert_eq!(scan.kind, Kind::Cloud { points: 119, outside: 0 });
}

#[test]
fn an_x3p_with_a_wrong_checksum_is_refused() {
    let (good, bad) = ([0u8; 960], [1u8; 960]);
    let xml = main_xml(even("D", 1.0), GRID_SIZES, &linked("data.bin", &good, false));
    let parts = |data| zipped(&[("main.xml", xml.as_bytes()), ("data.bin", data)]);
    read("a.x3p", &parts(&good), &asked(None, None)).unwrap();
    refused("a.x3p", &parts(&bad), &asked(None, None), "checksum");
}

#[test]
fn an_x3p_whose_link_leaves_the_archive_is_refused() {
    for link in ["../a.x3p", "/etc/hostname", "..\\a", "file:///etc/hostname", "bindata/"] {
        let xml = main_xml(even("D", 1.0), GRID_SIZES, &linked(link, &[0; 960], false));
        refused("a.x3p", &zipped(&[("main.xml", xml.as_bytes())]), &asked(None, None), link);
    }
}

#[test]
fn an_sdf_is_read_as_text_and_of_every_kind_of_number() {
    let whole = |z: Option<i16>, lowest: i32| z.map_or(lowest, i32::from);
    for bytes in [
        sdf_text(),
        sdf_bytes(5, |z| z.unwrap_or(i16::MIN).to_le_bytes()),
        sdf_bytes(6, |z| whole(z, i32::MIN).to_le_bytes()),
        sdf_bytes(3, |z| z.map_or(f32::MAX, f32::from).to_le_bytes()),
        sdf_bytes(7, |z| z.map_or(f64::MAX, f64::from).to_le_bytes()),
        sdf_bytes(7, |z| z.map_or(f64::NAN, f64::from).to_le_bytes()),
    ] {
        same(&read("a.sdf", &bytes, &asked(None, None)).unwrap(), [0.2, 0.3], &millimetres());
    }
}

#[test]
fn an_sdf_of_one_row_is_a_profile() {
    let mut bytes = sdf_head(5, 1, 1);
    bytes.extend([1u16, 2, 60_000, 4, 5].iter().flat_map(|z| z.to_le_bytes()));
    let scan = read("a.sdf", &bytes, &asked(None, None)).unwrap();
    assert_eq!((scan.kind, scan.map.rows(), scan.map.columns()), (Kind::Profile, 1, 5));
    let z = scan.map.heights_mm();
    assert!((z[2] - z[0] - 59.999).abs() < 1e-5, "{z:?}");
}

#[test]
fn an_sdf_with_fewer_heights_than_it_says_is_refused() {
    refused("a.sdf", &sdf_head(5, 5, 5), &asked(None, None), "ends too soon");
    let text = String::from_utf8(sdf_text()).unwrap();
    let fewer = text.replacen("BAD", "", 1);
    refused("a.sdf", fewer.as_bytes(), &asked(None, None), "expected 120 heights, found 119");
    let word = text.replacen("BAD", "high", 1);
    refused("a.sdf", word.as_bytes(), &asked(None, None), "`high`");
    let flat = text.replace("1e-6", "0");
    refused("a.sdf", flat.as_bytes(), &asked(None, None), "scales above nothing");
}

#[test]
fn a_grid_in_a_table_is_read_and_its_empty_cells_are_missing() {
    let scan = read("a.csv", &csv_grid(), &asked(0.5, None)).unwrap();
    same(&scan, [0.5, 0.5], &millimetres());
    let scaled: Vec<f64> = millimetres().iter().map(|z| z / 1000.0).collect();
    same(&read("a.csv", &csv_grid(), &asked(0.5, "um")).unwrap(), [0.5, 0.5], &scaled);
    let text = String::from_utf8(csv_grid()).unwrap().replace(',', " ; ");
    same(&read("a.csv", text.as_bytes(), &asked(0.5, None)).unwrap(), [0.5, 0.5], &millimetres());
}

#[test]
fn a_profile_in_a_table_is_read_in_the_units_of_its_heading() {
    let scan = read("a.csv", &csv_profile(), &asked(None, None)).unwrap();
    assert_eq!((scan.kind, scan.map.rows(), scan.map.columns()), (Kind::Profile, 1, 50));
    assert!((scan.map.spacing()[0].millimetres() - 0.2).abs() < 1e-9);
    for (column, z) in scan.map.heights_mm().iter().enumerate() {
        let known = (column * column % 37) as f64 / 1000.0;
        let read = f64::from(*z) + scan.map.datum().millimetres();
        assert!(if column == 7 { z.is_nan() } else { (read - known).abs() < 1e-6 }, "{column}");
    }
}

#[test]
fn a_table_that_is_no_grid_profile_or_cloud_is_refused_with_its_line() {
    let none = asked(0.5, None);
    refused("a.csv", b"1,2,3\n4,5\n", &none, "a.csv:2");
    refused("a.csv", b"# heights\n1,2,3\n4,high,6\n", &none, "a.csv:3: expected heights");
    refused("a.csv", b"x_mm,z_mm\n0,1\n1,1\n3,1\n4,1\n", &none, "mm apart");
    refused("a.csv", b"x_mm,z_mm\n0,1\n0,1\n0,1\n", &none, "not more than nothing");
    refused("a.csv", b"x_mm,z_mm\n0,1\n,1\n2,1\n", &none, "a.csv:3: expected a place");
    refused("a.csv", b"x_mm,y_mm,z_um\n0,0,0\n", &none, "one unit of x, y and z");
    refused("a.csv", b"x_s,z_mm\n0,1\n1,1\n2,1\n", &none, "`x_s`");
    refused("a.csv", b"time,height\n0,1\n", &none, "a.csv:1");
    refused("a.csv", b"# nothing\n", &none, "expected heights, found none");
    refused("a.csv", b"1,2\xff\n", &none, "UTF-8");
}

#[test]
fn an_array_is_read_in_every_order() {
    for kind in ["<f4", ">f4", "<f8", ">f8"] {
        for fortran in [false, true] {
            let bytes = npy_grid(kind, fortran);
            let scan = read("a.npy", &bytes, &asked(0.5, None)).unwrap();
            same(&scan, [0.5, 0.5], &millimetres());
        }
    }
    // Of version 2 of the format, with its longer count.
    let mut bytes = npy_grid("<f8", false);
    bytes[6] = 2;
    bytes.splice(10..10, [0, 0]);
    same(&read("a.npy", &bytes, &asked(0.5, None)).unwrap(), [0.5, 0.5], &millimetres());
}

#[test]
fn an_array_of_one_dimension_is_a_profile() {
    let data: Vec<u8> = (0..9).flat_map(|z| f64::from(z * z).to_le_bytes()).collect();
    for fortran in [false, true] {
        let bytes = npy("<f8", fortran, "(9,)", &data);
        let scan = read("a.npy", &bytes, &asked(0.5, "um")).unwrap();
        assert_eq!((scan.kind, scan.map.rows(), scan.map.columns()), (Kind::Profile, 1, 9));
        assert!((scan.map.heights_mm()[8] - scan.map.heights_mm()[0] - 0.064).abs() < 1e-7);
    }
}

#[test]
fn an_array_with_an_odd_shape_or_kind_is_refused() {
    let shapes = ["(-3, 4)", "(2, 2, 2)", "()", "(0, 5)", "(1.5, 2)", "5", "(2", "(two, 2)"];
    for shape in shapes {
        let fault = read("a.npy", &npy("<f4", false, shape, &[0; 64]), &asked(0.5, None));
        fault.unwrap_err();
    }
    for kind in ["<i4", "|u1", "<f2", "|O", "<c8", ""] {
        let bytes = npy(kind, false, "(2, 2)", &[0; 64]);
        refused("a.npy", &bytes, &asked(0.5, None), &format!("`{kind}`"));
    }
}

#[test]
fn a_picture_of_heights_is_read_of_every_kind_of_sample() {
    let scan = read("a.tif", &tiff_floats(), &asked(0.5, "mm")).unwrap();
    assert_eq!((scan.map.rows(), scan.map.columns()), (ROWS, COLUMNS));
    same(&scan, [0.5, 0.5], &millimetres());
    let whole: Vec<i32> = (0..120).map(|k| k * k % 97 - 40).collect();
    let known: Vec<f64> = whole.iter().map(|z| f64::from(*z) / 1000.0).collect();
    let bytes = tiff::<colortype::GrayI32>(ROWS, COLUMNS, &whole);
    same(&read("a.tiff", &bytes, &asked(0.5, "um")).unwrap(), [0.5, 0.5], &known);
    let positive: Vec<u16> = whole.iter().map(|z| (z + 40) as u16).collect();
    let known: Vec<f64> = positive.iter().map(|z| f64::from(*z) / 1000.0).collect();
    let bytes = tiff::<colortype::Gray16>(ROWS, COLUMNS, &positive);
    same(&read("a.TIF", &bytes, &asked(0.5, "um")).unwrap(), [0.5, 0.5], &known);
}

#[test]
fn a_picture_without_heights_is_refused() {
    let gray = tiff::<colortype::Gray8>(2, 2, &[1; 4]);
    refused("a.tif", &gray, &asked(0.5, "mm"), "a photograph has no heights");
    let colours = tiff::<colortype::RGB16>(2, 2, &[1; 12]);
    refused("a.tif", &colours, &asked(0.5, "mm"), "a picture");
}

#[test]
fn a_grid_without_a_spacing_is_refused() {
    for (name, bytes) in
        [("a.csv", csv_grid()), ("a.npy", npy_grid("<f8", false)), ("a.tif", tiff_floats())]
    {
        refused(name, &bytes, &asked(None, "mm"), "--spacing-mm");
        for spacing in [0.0, -1.0] {
            read(name, &bytes, &asked(spacing, "mm")).unwrap_err();
        }
    }
    refused("a.tif", &tiff_floats(), &asked(0.5, None), "--unit");
}

// Clouds.

#[test]
fn points_are_read_from_every_kind_of_cloud() {
    for (name, bytes) in [
        ("text.ply", ply("ascii")),
        ("little.ply", ply("binary_little_endian")),
        ("big.ply", ply("binary_big_endian")),
        ("zero.las", las(0, 2, false)),
        ("three.las", las(3, 2, false)),
        ("seven.las", las(7, 4, false)),
        ("zero.laz", las(0, 2, true)),
        ("three.laz", las(3, 2, true)),
        ("seven.laz", las(7, 4, true)),
        ("a.xyz", xyz()),
        ("bare.csv", csv_points("mm", 1.0).iter().map(u8::to_ascii_lowercase).collect()),
    ] {
        let scan = read(name, &bytes, &asked(1.0, "mm")).unwrap();
        same_bumps(&scan, true);
        assert_eq!(scan.kind, Kind::Cloud { points: 119, outside: 0 }, "{name}");
    }
}

#[test]
fn points_in_a_table_are_read_in_the_unit_of_its_heading() {
    for (unit, factor) in [("mm", 1.0), ("m", 1e-3), ("um", 1e3), ("in", 1.0 / 25.4)] {
        let scan = read("a.csv", &csv_points(unit, factor), &asked(1.0, None)).unwrap();
        same_bumps(&scan, true);
    }
}

#[test]
fn a_mesh_is_read_from_text_and_bytes() {
    let triangles = mesh(ROWS, COLUMNS, 1.0);
    for bytes in [
        stl_text(&triangles),
        stl_bytes(&triangles, "a test"),
        // Some programs begin a file of bytes as one of text begins.
        stl_bytes(&triangles, "solid"),
    ] {
        // Corners come six times each; four different ones share a cell.
        let scan = read("a.stl", &bytes, &asked(None, "mm")).unwrap();
        assert!((scan.map.spacing()[0].millimetres() - 2.0).abs() < 1e-9);
        assert!(scan.map.coverage().percent() > 90.0, "{}", scan.map.coverage().percent());
        let fine = read("a.stl", &bytes, &asked(0.25, "mm")).unwrap();
        assert!(fine.map.coverage().percent() > 99.0, "{}", fine.map.coverage().percent());
        assert!(fine.map.columns() >= 4 * (COLUMNS - 1), "{}", fine.map.columns());
    }
}

#[test]
fn what_a_head_announces_is_held_against_the_file() {
    // An extended record of 2^40 bytes, in a LAS file of version 1.4.
    let mut bytes = las(6, 4, false);
    let end = bytes.len() as u64;
    bytes[235..243].copy_from_slice(&end.to_le_bytes());
    bytes[243..247].copy_from_slice(&1u32.to_le_bytes());
    let mut record = [0u8; 60];
    record[20..28].copy_from_slice(&(1u64 << 40).to_le_bytes());
    bytes.extend_from_slice(&record);
    refused("a.las", &bytes, &asked(1.0, "mm"), "");
    // Four thousand million chunks, in a LAZ file.
    let mut bytes = las(0, 2, true);
    let start = u32::from_le_bytes(bytes[96..100].try_into().unwrap()) as usize;
    let table = i64::from_le_bytes(bytes[start..start + 8].try_into().unwrap()) as usize;
    bytes[table + 4..table + 8].copy_from_slice(&u32::MAX.to_le_bytes());
    refused("a.laz", &bytes, &asked(1.0, "mm"), "");
}

#[test]
fn a_table_keeps_its_empty_cells() {
    let tabs = read("a.csv", b"\t1\t2\n3\t4\t\n", &asked(1.0, None)).unwrap();
    assert_eq!((tabs.map.rows(), tabs.map.columns()), (2, 3));
    assert!((tabs.map.coverage().ratio() - 4.0 / 6.0).abs() < 1e-9);
    // A point without a height is no point: nothing moves into its place.
    let table: String = std::iter::once("x_mm,y_mm,z_mm,i\n5,5,,255\n".to_owned())
        .chain((0..400).map(|k| format!("{},{},0,9\n", k % 20, k / 20)))
        .collect();
    let cloud = read("a.csv", table.as_bytes(), &asked(1.0, None)).unwrap();
    assert!(cloud.map.heights_mm().iter().all(|z| z.is_nan() || z.abs() < 1e-6));
    refused("a.csv", b"1,5;2,5\n3,5;4,5\n", &asked(1.0, None), "decimal points");
}

#[test]
fn large_triangles_leave_no_gaps() {
    let at = |x: f64, y: f64| [x, y, 0.1 * x];
    let (a, b, c, d) = (at(0.0, 0.0), at(50.0, 0.0), at(50.0, 30.0), at(0.0, 30.0));
    let bytes = stl_bytes(&[[a, b, c], [a, c, d]], "two");
    let scan = read("a.stl", &bytes, &asked(2.0, "mm")).unwrap();
    assert!(scan.map.coverage().percent() > 99.9, "{}", scan.map.coverage().percent());
    assert!(scan.map.heights_mm().iter().all(|z| z.abs() < 1e-4));
}

#[test]
fn a_cloud_without_a_unit_is_refused() {
    for (name, bytes) in [
        ("a.ply", ply("ascii")),
        ("a.stl", stl_bytes(&mesh(4, 5, 1.0), "a test")),
        ("a.las", las(0, 2, false)),
        ("a.laz", las(0, 2, true)),
        ("a.xyz", xyz()),
        ("a.csv", b"x,y,z\n0,0,0\n1,0,0\n0,1,0\n".to_vec()),
        ("a.csv", b"x,z\n0,0\n1,0\n2,1\n".to_vec()),
    ] {
        refused(name, &bytes, &asked(1.0, None), "--unit mm");
    }
}

#[test]
fn points_that_span_no_surface_are_refused() {
    let line = |k: i32| format!("{} {} {}\n", 0.1 * f64::from(k), 0.2 * f64::from(k), 7.0);
    for (text, words) in [
        ("1 2 3\n".repeat(100), "a line"),
        ((0..100).map(|k| format!("{k} 0 0\n")).collect(), "a line"),
        ((0..5).map(line).collect(), "a line"),
        ("0 0 0\n1 1 1\n".to_owned(), "three points"),
        ("x y z\n".to_owned(), "three points"),
        ("0 0 0\n1 0 0\n0 1 0\nnan 0 0\n0 one 0\n".to_owned(), "a.xyz:5"),
    ] {
        refused("a.xyz", text.as_bytes(), &asked(None, "mm"), words);
    }
    refused("a.xyz", &xyz(), &asked(1e-9, "mm"), "too many");
}

#[test]
fn points_that_are_no_numbers_are_left_out() {
    let mut text = String::from_utf8(xyz()).unwrap();
    text += "nan 1 1\n1 inf 1\n22 1 -inf\n";
    let scan = read("a.xyz", text.as_bytes(), &asked(1.0, "mm")).unwrap();
    assert!(matches!(scan.kind, Kind::Cloud { points: 119, .. }), "{:?}", scan.kind);
    let heights = scan.map.heights_mm();
    assert_eq!(heights.iter().filter(|z| !z.is_nan()).count(), 119);
}

fn lines(points: &[[f64; 3]]) -> Vec<u8> {
    let mut text = String::new();
    for [x, y, z] in points {
        writeln!(text, "{x} {y} {z}").unwrap();
    }
    text.into_bytes()
}

#[test]
fn a_tilted_plane_with_gross_outliers_comes_out_flat() {
    let points: Vec<[f64; 3]> = (0..64 * 64)
        .map(|k| (k % 64, k / 64, (k * 7919 + 3) % 1000))
        .map(|(x, y, chance)| {
            let gross = if chance < 300 { f64::from(chance % 41) - 20.0 } else { 0.0 };
            let (x, y) = (f64::from(x), f64::from(y));
            [x, y, 0.02 * x - 0.01 * y + gross]
        })
        .collect();
    let scan = read("a.xyz", &lines(&points), &asked(8.0, "mm")).unwrap();
    assert!((8..=9).contains(&scan.map.rows()) && (8..=9).contains(&scan.map.columns()));
    let worst = scan.map.heights_mm().iter().fold(0.0f32, |worst, z| worst.max(z.abs()));
    assert!(worst < 1e-3, "{worst}");
}

/// A grid of rough heights, so that each point has a cell to itself.
fn rough(heights: &[f64]) -> Vec<[f64; 3]> {
    let place = |k: usize| [(k % 15) as f64, (k / 15) as f64];
    heights.iter().enumerate().map(|(k, z)| [place(k)[0], place(k)[1], *z]).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn the_order_of_points_does_not_matter_nor_that_each_is_there_twice(
        heights in prop::collection::vec(-0.01f64..0.01, 225),
        order in Just((0..225usize).collect::<Vec<_>>()).prop_shuffle(),
    ) {
        let points = rough(&heights);
        let mut shuffled: Vec<[f64; 3]> = order.iter().map(|k| points[*k]).collect();
        let first = read("a.xyz", &lines(&points), &asked(1.0, "mm")).unwrap();
        let other = read("a.xyz", &lines(&shuffled), &asked(1.0, "mm")).unwrap();
        shuffled.extend(points);
        let twice = read("a.xyz", &lines(&shuffled), &asked(1.0, "mm")).unwrap();
        prop_assert_eq!((first.map.rows(), first.map.columns()), (15, 15));
        for map in [&other.map, &twice.map] {
            prop_assert_eq!((map.rows(), map.columns()), (15, 15));
            for (a, b) in first.map.heights_mm().iter().zip(map.heights_mm()) {
                prop_assert!((a - b).abs() < 2e-3, "{} {}", a, b);
            }
        }
    }

    #[test]
    fn a_spacing_that_is_chosen_covers_the_map(
        places in prop::collection::vec((0.0f64..1.0, 0.0f64..1.0, -0.1f64..0.1), 4000..5000),
        size in (0.5f64..500.0, 0.5f64..2.0),
    ) {
        let points: Vec<[f64; 3]> =
            places.iter().map(|(x, y, z)| [x * size.0, y * size.0 * size.1, 0.01 * z]).collect();
        let scan = read("a.xyz", &lines(&points), &asked(None, "mm")).unwrap();
        let coverage = scan.map.coverage().percent();
        prop_assert!(coverage > 90.0 && scan.warnings.is_empty(), "{}", coverage);
    }

    #[test]
    fn any_bytes_after_a_known_beginning_are_read_or_refused(
        rest in prop::collection::vec(any::<u8>(), 0..400),
        text in "[-+0-9a-z.,;* =\n]{0,200}",
    ) {
        let beginnings: [&[u8]; 13] = [
            b"", b"PK\x03\x04", b"aISO-1.0\n", b"bISO-1.0", b"ply\nformat ascii 1.0\n", b"LASF",
            b"\x93NUMPY\x01\x00\x20\x00", b"II\x2a\x00\x08\x00\x00\x00", b"MM\x00\x2a",
            b"II\x2b\x00\x08\x00\x00\x00", b"solid a\n", b"x_mm,z_mm\n", b"x_mm,y_mm,z_mm\n",
        ];
        for (n, beginning) in beginnings.iter().enumerate() {
            for rest in [rest.as_slice(), text.as_bytes()] {
                let bytes = [beginning, rest].concat();
                let _ = read(&format!("a.{}", ENDINGS[n % 11]), &bytes, &asked(1.0, "mm"));
            }
        }
        for ending in ENDINGS {
            let _ = read(&format!("a.{ending}"), &rest, &asked(None, "mm"));
        }
    }

    #[test]
    fn a_file_with_a_damaged_byte_is_read_or_refused(
        place in 0.0f64..1.0, byte in any::<u8>(), head in any::<bool>(),
    ) {
        for (name, mut bytes, asked) in samples() {
            let length = if head { bytes.len().min(400) } else { bytes.len() };
            bytes[(place * length as f64) as usize] = byte;
            let _ = read(name, &bytes, &asked);
        }
    }
}

// Hostile files.

#[test]
fn every_sample_is_read_and_cut_off_it_is_read_or_refused() {
    for (name, bytes, asked) in samples() {
        read(name, &bytes, &asked).unwrap();
        for length in (0..bytes.len()).step_by(7) {
            let _ = read(name, &bytes[..length], &asked);
        }
        let mut longer = bytes.clone();
        longer.extend([0; 100]);
        let _ = read(name, &longer, &asked);
        // Lists cannot tell, nor can meshes as text: all others must be whole.
        let tells = !["xyz", "csv"].iter().any(|ending| name.ends_with(ending));
        if tells && name != "text.stl" && !name.ends_with("ply") {
            read(name, &bytes[..bytes.len() / 2], &asked).unwrap_err();
        }
    }
}

#[test]
fn what_is_no_scan_is_refused() {
    refused("a.xyz", b"", &asked(1.0, "mm"), "an empty file");
    refused("a.txt", b"1 2 3\n", &asked(1.0, "mm"), "another kind of file");
    refused("none", b"1 2 3\n", &asked(1.0, "mm"), "another kind of file");
    let folder = tempfile::tempdir().unwrap();
    let fault = scan(folder.path(), &asked(1.0, "mm")).unwrap_err();
    assert!(!fault.expected.is_nothing() && !fault.found.is_nothing());
    let fault = scan(&folder.path().join("none.ply"), &asked(1.0, "mm")).unwrap_err();
    assert_eq!(fault.expected.name(), "a-readable-file");
}

#[test]
fn more_points_than_there_are_are_refused() {
    const MANY: u64 = 1 << 60;
    let grid = asked(0.5, "mm");
    let replaced = |bytes: Vec<u8>, from: &str, to: &str| {
        String::from_utf8(bytes).unwrap().replace(from, to).into_bytes()
    };
    let xml = |sizes, link: &str| {
        let xml = main_xml(even("D", 1.0), sizes, &linked(link, &[0; 8], false));
        zipped(&[("main.xml", xml.as_bytes()), ("data.bin", &[0; 8])])
    };
    let patched = |mut bytes: Vec<u8>, at: usize, value: &[u8]| {
        bytes[at..at + value.len()].copy_from_slice(value);
        bytes
    };
    // The older count is zero where the newer one counts.
    let many = |bytes| patched(patched(bytes, 107, &[0; 4]), 247, &MANY.to_le_bytes());
    let mut wide = tiff_floats();
    let entry = |tag: u8| wide.windows(4).position(|four| four[..2] == [tag, 1]).unwrap();
    let (width, height) = (entry(0), entry(1));
    for at in [width, height] {
        wide[at + 2] = 4;
        wide[at + 8..at + 12].copy_from_slice(&u32::MAX.to_le_bytes());
    }
    let ply_bytes = b"ply\nformat binary_little_endian 1.0\nelement vertex 1152921504606846976\n\
        property double x\nproperty double y\nproperty double z\nend_header\n";
    let npy_many = |shape: &str| npy("<f8", false, shape, &[0; 64]);
    for (name, bytes) in [
        ("a.x3p", xml([MANY, MANY, 1], "data.bin")),
        ("a.x3p", xml([MANY, 1, 1], "data.bin")),
        ("a.x3p", xml([1 << 14, 1 << 14, 1], "data.bin")),
        ("a.x3p", xml([1 << 14, 1 << 14, 1], "")),
        ("a.sdf", replaced(sdf_text(), "= 12\n", &format!("= {MANY}\n"))),
        ("a.sdf", sdf_head(u16::MAX, u16::MAX, 7)),
        ("a.ply", replaced(ply("ascii"), "vertex 119", &format!("vertex {MANY}"))),
        ("a.ply", replaced(ply("ascii"), "camera 2", &format!("camera {MANY}"))),
        ("a.ply", ply_bytes.to_vec()),
        ("a.stl", patched(stl_bytes(&mesh(4, 5, 1.0), "a"), 80, &u32::MAX.to_le_bytes())),
        ("a.las", patched(las(0, 2, false), 107, &u32::MAX.to_le_bytes())),
        ("a.las", many(las(7, 4, false))),
        ("a.laz", patched(las(3, 2, true), 107, &u32::MAX.to_le_bytes())),
        ("a.laz", many(las(7, 4, true))),
        ("a.npy", npy_many("(1152921504606846976, 2)")),
        ("a.npy", npy_many("(1152921504606846976, 1152921504606846976)")),
        ("a.npy", npy_many("(16384, 16384)")),
        ("a.tif", wide),
    ] {
        read(name, &bytes, &grid).unwrap_err();
    }
}

#[test]
fn a_zip_that_announces_a_huge_part_is_read_or_refused() {
    let mut bytes = x3p();
    let places: Vec<usize> = (0..bytes.len() - 4)
        .filter_map(|at| match &bytes[at..at + 4] {
            b"PK\x03\x04" => Some(at + 22),
            b"PK\x01\x02" => Some(at + 24),
            _ => None,
        })
        .collect();
    for at in places {
        bytes[at..at + 4].copy_from_slice(&0xffff_fff0u32.to_le_bytes());
    }
    let _ = read("a.x3p", &bytes, &asked(None, None));
    // Far more than its size says, of a part that shrinks well.
    let xml = main_xml(even("D", 1.0), [2, 2, 1], "<PointDataLink>data.bin</PointDataLink>");
    let bomb = zipped(&[("main.xml", xml.as_bytes()), ("data.bin", &vec![0; 4 << 20])]);
    let _ = read("a.x3p", &bomb, &asked(None, None));
    let deep = "<a>".repeat(100_000);
    refused("a.x3p", &zipped(&[("main.xml", deep.as_bytes())]), &asked(None, None), "too deep");
}

#[test]
fn coordinates_beyond_all_bounds_are_left_out_or_refused() {
    for wild in ["nan", "inf", "-inf", "1e300", "-1e300", "1e38"] {
        let text = format!("{wild} 0 0\n0 {wild} 1\n0 0 {wild}\n1 1 1\n2 1 1\n1 3 1\n");
        for spacing in [None, Some(1.0)] {
            let _ = read("a.xyz", text.as_bytes(), &asked(spacing, "mm"));
            let _ = read(
                "a.xyz",
                format!("{wild} {wild} {wild}\n").repeat(9).as_bytes(),
                &asked(spacing, "mm"),
            );
        }
        let grid = format!("{wild},1,2\n3,{wild},5\n");
        let scan = read("a.csv", grid.as_bytes(), &asked(1.0, None)).unwrap();
        assert_eq!((scan.map.rows(), scan.map.columns()), (2, 3));
        let profile = format!("x_mm,z_mm\n0,{wild}\n1,0\n{wild},0\n3,1\n");
        read("a.csv", profile.as_bytes(), &asked(None, None)).unwrap_err();
        let value = wild.parse::<f64>().unwrap();
        let bytes = stl_bytes(&[[[value, 0.0, 0.0], [0.0, value, 0.0], [0.0; 3]]], "wild");
        let _ = read("a.stl", &bytes, &asked(1.0, "mm"));
        let mut bytes = sdf_head(2, 1, 7);
        bytes.extend([value, 1.0].iter().flat_map(|z| z.to_le_bytes()));
        read("a.sdf", &bytes, &asked(None, None)).unwrap();
    }
}

/// Files that independent libraries of the two standards wrote (x3pio 2.0, sdfio 2.0): heights
/// ((7i² + 3ij + 11j²) mod 97 − 48) µm of row i and column j, two of them missing.
#[test]
fn files_of_other_writers_are_read_as_they_wrote_them() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/scans");
    let names = [
        "iso-1-bytes.sdf",
        "iso-2-bytes.sdf",
        "iso-2-text.sdf",
        "proposal-bytes.sdf",
        "proposal-text.sdf",
        "listed.x3p",
        "stored.x3p",
    ];
    for name in names {
        let scan = scan(&folder.join(name), &Asked::default()).unwrap();
        let map = &scan.map;
        assert_eq!((map.rows(), map.columns()), (12, 17), "{name}");
        let [x, y] = map.spacing().map(Length::millimetres);
        assert!((x - 0.1).abs() < 1e-12 && (y - 0.2).abs() < 1e-12, "{name}: {x} {y}");
        for i in 0..12usize {
            for (j, z) in map.row_mm(i).iter().enumerate() {
                if [(3, 4), (11, 16)].contains(&(i, j)) {
                    assert!(z.is_nan(), "{name}: {i} {j}");
                    continue;
                }
                let known = ((7 * i * i + 3 * i * j + 11 * j * j) % 97) as f64 - 48.0;
                let read = (f64::from(*z) + map.datum().millimetres()) * 1000.0;
                // Stored in steps of their own, a thousandth or so.
                assert!((read - known).abs() < 5e-3, "{name}: {i} {j}: {read}, {known}");
            }
        }
    }
}
