//! Lines of one value through a grid of values: marching squares.

/// Closed rings that hold values of at least `level`, in node units, anticlockwise.
/// Beyond the grid everything is 0.
pub(crate) fn rings(values: &[f64], columns: usize, rows: usize, level: f64) -> Vec<Vec<(f64, f64)>> {
    let at = |x: i64, y: i64| -> f64 {
        if x < 0 || y < 0 || x >= columns as i64 || y >= rows as i64 {
            0.0
        } else {
            values[y as usize * columns + x as usize]
        }
    };
    // An edge of the grid by its lower left node and its direction (0 along x, 1 along y).
    type Edge = (i64, i64, u8);
    let mut next: std::collections::BTreeMap<Edge, Edge> = std::collections::BTreeMap::new();
    for y in -1..rows as i64 {
        for x in -1..columns as i64 {
            let corners = [at(x, y), at(x + 1, y), at(x + 1, y + 1), at(x, y + 1)];
            let inside = corners.map(|v| v >= level);
            let edges: [Edge; 4] = [(x, y, 0), (x + 1, y, 1), (x, y + 1, 0), (x, y, 1)];
            // Walking round the square, the line goes in where the values fall below and
            // comes out where they rise again: what is inside stays on the left.
            let falls: Vec<usize> = (0..4).filter(|k| inside[*k] && !inside[(k + 1) % 4]).collect();
            let rises: Vec<usize> = (0..4).filter(|k| !inside[*k] && inside[(k + 1) % 4]).collect();
            match (falls.as_slice(), rises.as_slice()) {
                ([out], [back]) => {
                    next.insert(edges[*out], edges[*back]);
                }
                ([_, _], [_, _]) => {
                    // A saddle: joined where the middle is inside.
                    let joined = corners.iter().sum::<f64>() / 4.0 >= level;
                    for out in falls {
                        let back = if joined { (out + 1) % 4 } else { (out + 3) % 4 };
                        next.insert(edges[out], edges[back]);
                    }
                }
                _ => {}
            }
        }
    }
    let point = |(x, y, along): Edge| -> (f64, f64) {
        let (dx, dy) = if along == 0 { (1, 0) } else { (0, 1) };
        let (a, b) = (at(x, y), at(x + dx, y + dy));
        let share = ((level - a) / (b - a)).clamp(0.0, 1.0);
        // The margin beyond the grid is drawn at its edge.
        let clamp = |v: f64, most: usize| v.clamp(0.0, (most - 1) as f64);
        (
            clamp(x as f64 + share * dx as f64, columns),
            clamp(y as f64 + share * dy as f64, rows),
        )
    };
    let mut rings = Vec::new();
    while let Some((&start, _)) = next.iter().next() {
        let mut ring = Vec::new();
        let mut edge = start;
        while let Some(following) = next.remove(&edge) {
            ring.push(point(edge));
            edge = following;
        }
        ring.dedup_by(|a, b| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-9);
        if ring.len() >= 3 {
            rings.push(ring);
        }
    }
    rings
}
