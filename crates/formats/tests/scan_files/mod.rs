//! A known grid and a known cloud, and files of them by writers that are not the readers'.
#![expect(clippy::unwrap_used, reason = "a test fails loudly")]

use std::fmt::Write as _;
use std::io::{Cursor, Write as _};

use md5::{Digest as _, Md5};
use tiff::encoder::{TiffEncoder, colortype};

pub(crate) const ROWS: usize = 10;
pub(crate) const COLUMNS: usize = 12;

/// Heights of the known grid in micrometres, row by row; none where missing.
pub(crate) fn micrometres() -> Vec<Option<i16>> {
    let height = |row: usize, column: usize| (7 * row * row + 3 * column * column + row) % 211;
    (0..ROWS * COLUMNS)
        .map(|index| (index / COLUMNS, index % COLUMNS))
        .map(|(row, column)| {
            let missing = [(0, 0), (2, 3), (7, COLUMNS - 1)].contains(&(row, column));
            (!missing).then(|| height(row, column) as i16 - 90)
        })
        .collect()
}

pub(crate) fn millimetres() -> Vec<f64> {
    micrometres().iter().map(|z| z.map_or(f64::NAN, |z| f64::from(z) / 1000.0)).collect()
}

/// Points of a level plane a millimetre apart, some of them half a millimetre higher, and one
/// place without a point: the fit leaves the bumps out, so every height is known.
pub(crate) fn bumps() -> Vec<[f64; 3]> {
    (0..ROWS * COLUMNS)
        .map(|index| (index / COLUMNS, index % COLUMNS))
        .filter(|place| *place != (4, 5))
        .map(|(row, column)| [column as f64 + 20.0, row as f64 - 3.0, 1.0 + bump(row, column)])
        .collect()
}

pub(crate) fn bump(row: usize, column: usize) -> f64 {
    if (3 * row + 5 * column).is_multiple_of(11) { 0.5 } else { 0.0 }
}

pub(crate) fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// `main.xml` of axes (type, number, increment).
pub(crate) fn main_xml(axes: [(&str, &str, f64); 3], sizes: [u64; 3], points: &str) -> String {
    let is_even = axes[0].0 == "I" && axes[1].0 == "I";
    let feature = if is_even { "SUR" } else { "PCL" };
    let mut xml = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<p:ISO5436_2 xmlns:p=\"urn:test\">\n\
         <Record1><Revision>ISO5436 - 2000</Revision><FeatureType>{feature}</FeatureType><Axes>"
    );
    for (name, (kind, data, increment)) in ["CX", "CY", "CZ"].iter().zip(axes) {
        write!(
            xml,
            "<{name}><AxisType>{kind}</AxisType><DataType>{data}</DataType>\
             <Increment>{increment:e}</Increment><Offset>0</Offset></{name}>"
        )
        .unwrap();
    }
    let [x, y, z] = sizes;
    write!(
        xml,
        "</Axes></Record1><Record3><MatrixDimension><SizeX>{x}</SizeX><SizeY>{y}</SizeY>\
         <SizeZ>{z}</SizeZ></MatrixDimension>{points}</Record3></p:ISO5436_2>"
    )
    .unwrap();
    xml
}

pub(crate) const GRID_SIZES: [u64; 3] = [COLUMNS as u64, ROWS as u64, 1];

pub(crate) fn even(data: &'static str, step: f64) -> [(&'static str, &'static str, f64); 3] {
    [("I", "D", 2e-4), ("I", "D", 3e-4), ("A", data, step)]
}

pub(crate) fn linked(link: &str, bytes: &[u8], mask: bool) -> String {
    let checksum: String = Md5::digest(bytes).iter().map(|b| format!("{b:02X}")).collect();
    let valid = if mask { "<ValidPointsLink>bindata/valid.bin</ValidPointsLink>" } else { "" };
    format!(
        "<DataLink><PointDataLink>{link}</PointDataLink>\
         <MD5ChecksumPointData>{checksum}</MD5ChecksumPointData>{valid}</DataLink>"
    )
}

/// Doubles in metres, not a number where missing.
pub(crate) fn x3p() -> Vec<u8> {
    let data: Vec<u8> = millimetres().iter().flat_map(|z| (z / 1000.0).to_le_bytes()).collect();
    let xml = main_xml(even("D", 1.0), GRID_SIZES, &linked("bindata/data.bin", &data, false));
    zipped(&[("main.xml", xml.as_bytes()), ("bindata/data.bin", &data)])
}

/// Whole micrometres and a mask of those that count.
pub(crate) fn x3p_masked() -> Vec<u8> {
    let data: Vec<u8> = micrometres().iter().flat_map(|z| z.unwrap_or(777).to_le_bytes()).collect();
    let mut mask = vec![0u8; (ROWS * COLUMNS).div_ceil(8)];
    for (index, z) in micrometres().iter().enumerate() {
        mask[index / 8] |= u8::from(z.is_some()) << (index % 8);
    }
    let xml = main_xml(even("I", 1e-6), GRID_SIZES, &linked("bindata/data.bin", &data, true));
    zipped(&[
        ("main.xml", xml.as_bytes()),
        ("bindata/data.bin", &data),
        ("bindata/valid.bin", &mask),
    ])
}

pub(crate) fn x3p_listed() -> Vec<u8> {
    let mut list = String::from("<DataList>");
    for (index, z) in millimetres().iter().enumerate() {
        let (row, column) = (index / COLUMNS, index % COLUMNS);
        if z.is_nan() {
            list += if index == 0 { "<Datum/>" } else { "<Datum></Datum>" };
        } else {
            write!(list, "<Datum>{column};{row};{:e}</Datum>", z / 1000.0).unwrap();
        }
    }
    list += "</DataList>";
    zipped(&[("main.xml", main_xml(even("D", 1.0), GRID_SIZES, &list).as_bytes())])
}

pub(crate) fn x3p_cloud() -> Vec<u8> {
    let data: Vec<u8> = bumps().iter().flatten().flat_map(|c| (c / 1000.0).to_le_bytes()).collect();
    let axes = [("A", "D", 1.0); 3];
    let sizes = [bumps().len() as u64, 1, 1];
    let xml = main_xml(axes, sizes, &linked("bindata/data.bin", &data, false));
    zipped(&[("main.xml", xml.as_bytes()), ("bindata/data.bin", &data)])
}

pub(crate) fn sdf_text() -> Vec<u8> {
    let mut text = format!(
        "aISO-1.0\nManufacID   = TEST\nCreateDate  = 010120260000\nModDate     = 010120260000\n\
         NumPoints   = {COLUMNS}\nNumProfiles = {ROWS}\nXscale      = 2e-4\n\
         Yscale      = 3e-4\nZscale      = 1e-6\nZresolution = -1\nCompression = 0\n\
         DataType    = 5\nCheckType   = 0\n*\n"
    );
    for z in micrometres() {
        text += &z.map_or("BAD ".to_owned(), |z| format!("{z} "));
    }
    text += "\n*\nThe end\n";
    text.into_bytes()
}

pub(crate) fn sdf_head(columns: u16, rows: u16, kind: u8) -> Vec<u8> {
    let mut bytes = b"bISO-1.0TEST      010120260000010120260000".to_vec();
    bytes.extend(columns.to_le_bytes());
    bytes.extend(rows.to_le_bytes());
    bytes.extend([2e-4f64, 3e-4, 1e-6, -1.0].iter().flat_map(|scale| scale.to_le_bytes()));
    bytes.extend([0, kind, 0]);
    bytes
}

pub(crate) fn sdf_bytes<const N: usize>(
    kind: u8,
    write: impl Fn(Option<i16>) -> [u8; N],
) -> Vec<u8> {
    let mut bytes = sdf_head(COLUMNS as u16, ROWS as u16, kind);
    bytes.extend(micrometres().into_iter().flat_map(write));
    bytes
}

/// With a camera before the vertices, more than places in them, and a face after them.
pub(crate) fn ply(format: &str) -> Vec<u8> {
    let points = bumps();
    let mut bytes = format!(
        "ply\nformat {format} 1.0\ncomment a test\nelement camera 2\nproperty double f\n\
         property ushort n\nelement vertex {}\nproperty uchar red\nproperty float x\n\
         property double y\nproperty short flag\nproperty float32 z\nelement face 1\n\
         property list uchar int vertex_indices\nend_header\n",
        points.len()
    )
    .into_bytes();
    if format == "ascii" {
        bytes.extend(b"1.5 7\n2.5 8\n");
        for [x, y, z] in points {
            bytes.extend(format!("200 {x} {y:e} -5 {z}\n").bytes());
        }
        bytes.extend(b"3 0 1 2\n");
        return bytes;
    }
    let mut put = |mut value: Vec<u8>| {
        if format == "binary_big_endian" {
            value.reverse();
        }
        bytes.extend(value);
    };
    for n in 0..2u16 {
        put(1.5f64.to_le_bytes().to_vec());
        put(n.to_le_bytes().to_vec());
    }
    for [x, y, z] in points {
        put(vec![200]);
        put((x as f32).to_le_bytes().to_vec());
        put(y.to_le_bytes().to_vec());
        put((-5i16).to_le_bytes().to_vec());
        put((z as f32).to_le_bytes().to_vec());
    }
    put(vec![3]);
    (0..3i32).for_each(|corner| put(corner.to_le_bytes().to_vec()));
    bytes
}

/// Two triangles between each four neighbours `step` apart.
pub(crate) fn mesh(rows: usize, columns: usize, step: f64) -> Vec<[[f64; 3]; 3]> {
    let corner = |row: usize, column: usize| {
        [column as f64 * step + 20.0, row as f64 * step - 3.0, 1.0 + bump(row, column)]
    };
    (0..(rows - 1) * (columns - 1))
        .map(|index| (index / (columns - 1), index % (columns - 1)))
        .flat_map(|(r, c)| {
            let (a, b) = (corner(r, c), corner(r, c + 1));
            let (d, e) = (corner(r + 1, c), corner(r + 1, c + 1));
            [[a, b, e], [a, e, d]]
        })
        .collect()
}

pub(crate) fn stl_bytes(triangles: &[[[f64; 3]; 3]], head: &str) -> Vec<u8> {
    let mut bytes = format!("{head:80}").into_bytes();
    bytes.extend((triangles.len() as u32).to_le_bytes());
    for triangle in triangles {
        bytes.extend([0f32, 0.0, 1.0].iter().flat_map(|n| n.to_le_bytes()));
        bytes.extend(triangle.iter().flatten().flat_map(|c| (*c as f32).to_le_bytes()));
        bytes.extend([0, 0]);
    }
    bytes
}

pub(crate) fn stl_text(triangles: &[[[f64; 3]; 3]]) -> Vec<u8> {
    let mut text = String::from("solid a test\n");
    for triangle in triangles {
        text += "  facet normal 0 0 1\n    outer loop\n";
        for [x, y, z] in triangle {
            writeln!(text, "      vertex {x:e} {y:e} {z:e}").unwrap();
        }
        text += "    endloop\n  endfacet\n";
    }
    (text + "endsolid a test\n").into_bytes()
}

pub(crate) fn las(format: u8, minor: u8, is_compressed: bool) -> Vec<u8> {
    let mut builder = las::Builder::from((1, minor));
    builder.point_format = las::point::Format::new(format).unwrap();
    builder.point_format.is_compressed = is_compressed;
    let axis = |offset| las::Transform { scale: 0.001, offset };
    builder.transforms = las::Vector { x: axis(20.0), y: axis(0.0), z: axis(1.0) };
    let mut writer =
        las::Writer::new(Cursor::new(Vec::new()), builder.into_header().unwrap()).unwrap();
    for [x, y, z] in bumps() {
        let color = [2, 3, 7].contains(&format).then(|| las::Color::new(1, 2, 3));
        let gps_time = (format > 0).then_some(1.0);
        let point = las::Point { x, y, z, color, gps_time, ..Default::default() };
        writer.write_point(point).unwrap();
    }
    writer.into_inner().unwrap().into_inner()
}

pub(crate) fn xyz() -> Vec<u8> {
    let mut text = String::from("x y z\n# a comment\n// another\n\n");
    for (n, [x, y, z]) in bumps().iter().enumerate() {
        let apart = [" ", "\t", ",", "; "][n % 4];
        writeln!(text, "{x}{apart}{y:e}{apart}{z}{apart}255").unwrap();
    }
    text.into_bytes()
}

pub(crate) fn csv_grid() -> Vec<u8> {
    let mut text = String::from("# heights\n");
    for row in millimetres().chunks(COLUMNS) {
        let cells: Vec<String> =
            row.iter().map(|z| if z.is_nan() { String::new() } else { z.to_string() }).collect();
        text += &(cells.join(",") + "\r\n");
    }
    text.into_bytes()
}

pub(crate) fn csv_points(unit: &str, factor: f64) -> Vec<u8> {
    let mut text = format!("# points\nn,Z_{unit},x_{unit},y_{unit}\n");
    for (n, [x, y, z]) in bumps().iter().enumerate() {
        writeln!(text, "{n},{:e},{:e},{:e}", z * factor, x * factor, y * factor).unwrap();
    }
    text.into_bytes()
}

pub(crate) fn csv_profile() -> Vec<u8> {
    let mut text = String::from("\u{feff}x_mm,z_um\n");
    for column in 0..50 {
        let z = if column == 7 { String::new() } else { (column * column % 37).to_string() };
        writeln!(text, "{},{z}", 5.0 + 0.2 * f64::from(column)).unwrap();
    }
    text.into_bytes()
}

pub(crate) fn npy(kind: &str, fortran: bool, shape: &str, data: &[u8]) -> Vec<u8> {
    let fortran = if fortran { "True" } else { "False" };
    let head = format!("{{'descr': '{kind}', 'fortran_order': {fortran}, 'shape': {shape}, }}");
    let length = (10 + head.len() + 1).div_ceil(64) * 64 - 10;
    let mut bytes = b"\x93NUMPY\x01\x00".to_vec();
    bytes.extend((length as u16).to_le_bytes());
    bytes.extend(format!("{head:width$}\n", width = length - 1).bytes());
    bytes.extend(data);
    bytes
}

pub(crate) fn npy_grid(kind: &str, fortran: bool) -> Vec<u8> {
    let z = millimetres();
    let order: Vec<f64> =
        if fortran { (0..z.len()).map(|k| z[k % ROWS * COLUMNS + k / ROWS]).collect() } else { z };
    let data: Vec<u8> = order
        .iter()
        .flat_map(|z| match kind {
            "<f4" => (*z as f32).to_le_bytes().to_vec(),
            ">f4" => (*z as f32).to_be_bytes().to_vec(),
            "<f8" => z.to_le_bytes().to_vec(),
            _ => z.to_be_bytes().to_vec(),
        })
        .collect();
    npy(kind, fortran, &format!("({ROWS}, {COLUMNS})"), &data)
}

pub(crate) fn tiff<C: colortype::ColorType>(
    rows: usize,
    columns: usize,
    samples: &[C::Inner],
) -> Vec<u8>
where
    [C::Inner]: tiff::encoder::TiffValue,
{
    let mut bytes = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut bytes).unwrap();
    encoder.write_image::<C>(columns as u32, rows as u32, samples).unwrap();
    bytes.into_inner()
}

pub(crate) fn tiff_floats() -> Vec<u8> {
    let heights: Vec<f32> = millimetres().iter().map(|z| *z as f32).collect();
    tiff::<colortype::Gray32Float>(ROWS, COLUMNS, &heights)
}
