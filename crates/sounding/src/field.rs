//! From taps to the plane: how much of it is loose, between which bounds, and where.
//!
//! - The surveyed plane is the taps' convex hull grown by half a pitch, within the
//!   boundary if one is given and within a pitch of a tap. It is cut in small squares;
//!   each belongs to its nearest tap, which so stands for an area.
//! - The loose area is the sum of the taps' areas by their probabilities. Its bounds are
//!   the 5 % and 95 % points of maps drawn from the field of [`spread`](crate::spread),
//!   each with the error of a square grid that meets a patch by chance: variance
//!   `0.0724 B s³` (B the boundary's length, s the pitch; Matheron's constant for point
//!   counting, from memory, agreed with by simulation).
//! - The outline is the line of probability 0.4 of an ordinary kriging of the taps'
//!   probabilities (spherical variogram, range three pitches and at least 0.9 m, nugget
//!   3/17 of the sill): a drawing, while the figure is the count.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector};
use tooth_measure::chance::{Seed, Stream};
use tooth_measure::{Area, Fraction, Length, Outline, Point};

use crate::contour::rings;
use crate::groups::{HOLLOW_FROM, Told};
use crate::neighbours::{Cells, Neighbours};
use crate::spread::Spread;

/// One loose area.
#[derive(Debug, Clone, PartialEq)]
pub struct HollowArea {
    /// Its outline.
    pub outline: Outline,
    /// Taps that sound hollow on it, by their place in the list.
    pub taps: Vec<usize>,
    /// Its area.
    pub area: Area,
    /// Bounds meant to hold the true area nine times in ten, as [`Field::bounds`].
    pub bounds: (Area, Area),
}

/// The surveyed plane.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Usual distance between taps.
    pub pitch: Length,
    /// Area that the taps stand for.
    pub surveyed: Area,
    /// Loose area in all.
    pub hollow: Area,
    /// Bounds meant to hold the true loose area nine times in ten: so they do where every
    /// tap is labelled; where taps are told by their sound, about eight times in ten on
    /// synthesized slabs, and less in a room that echoes long.
    pub bounds: (Area, Area),
    /// Loose areas, the largest first.
    pub areas: Vec<HollowArea>,
    /// The map.
    pub map: Map,
    /// Border of the surveyed plane, within the boundary.
    pub border: Outline,
}

impl Field {
    /// The plane alone, where nobody can say which group is loose.
    pub(crate) fn without_areas(self) -> Self {
        let none = Area::ZERO;
        Self { hollow: none, bounds: (none, self.surveyed), areas: Vec::new(), ..self }
    }
}

/// Probability of hollow at the nodes of a square grid.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// Lower left node.
    pub origin: Point,
    /// Distance between nodes.
    pub spacing: Length,
    /// Nodes in a row.
    pub columns: usize,
    /// Row by row from the bottom; none outside the surveyed plane.
    pub nodes: Vec<Option<Fraction>>,
}

/// Squares along a pitch.
const FINE: f64 = 8.0;
/// Nodes of the map along a pitch.
const NODES: f64 = 4.0;
/// No map is finer than this many nodes in all.
const MOST_NODES: f64 = 160_000.0;
const DRAWS: usize = 800;
const GRID_VARIANCE: f64 = 0.0724;
/// Drawn maps differ less than truth does, by so much: set on synthesized slabs.
const WIDER: f64 = 1.3;
/// Taps that a node's kriging rests on.
const KRIGED: usize = 12;
const OUTLINE_AT: f64 = HOLLOW_FROM;

/// None where fewer than three taps have places off one line.
pub(crate) fn field(
    places: &[Option<(f64, f64)>],
    neighbours: &Neighbours,
    told: &Told,
    boundary: Option<&Outline>,
    seed: Seed,
) -> Option<Field> {
    let pitch = neighbours.pitch;
    let hull = grown_hull(places, pitch)?;
    let plane = Plane { hull, boundary, places, pitch, cells: Cells::new(places, pitch) };
    let areas = plane.areas();
    let surveyed: f64 = areas.iter().sum();
    let spread = Spread::new(neighbours, told.share);
    let likely = spread.probabilities(&told.evidence);
    let (hollow, bounds) = total(neighbours, &spread, told, &likely, &areas, seed);
    let border = boundary.cloned().or_else(|| plane.border())?;
    let map = plane.map(&told.hollow, surveyed);
    let patches =
        patches(&plane, &map, neighbours, (&told.hollow, &likely), &areas, hollow, bounds);
    Some(Field {
        pitch: Length::from_metres(pitch),
        surveyed: Area::from_square_metres(surveyed),
        hollow: Area::from_square_metres(hollow),
        bounds: (
            Area::from_square_metres(bounds.0),
            Area::from_square_metres(bounds.1.min(surveyed)),
        ),
        areas: patches,
        map,
        border,
    })
}

/// Loose area and its bounds, in m².
pub(crate) fn total(
    neighbours: &Neighbours,
    spread: &Spread<'_>,
    told: &Told,
    likely: &[f64],
    areas: &[f64],
    seed: Seed,
) -> (f64, (f64, f64)) {
    let pitch = neighbours.pitch;
    let hollow: f64 = likely.iter().zip(areas).map(|(p, a)| p * a).sum();
    let mut stream = Stream::new(seed, 1);
    let mut chance = Stream::new(seed, 2);
    let mut sums = Vec::with_capacity(DRAWS);
    spread.draw(&told.evidence, likely, DRAWS, &mut stream, |map| {
        let sum: f64 = map.iter().zip(areas).map(|(h, a)| if *h { *a } else { 0.0 }).sum();
        let unlike = neighbours
            .of
            .iter()
            .enumerate()
            .flat_map(|(i, near)| near.iter().map(move |(j, d)| (i, *j, *d)))
            .filter(|(i, j, d)| i < j && *d < 1.2 * pitch && map[*i] != map[*j])
            .count();
        // Of the sides between unlike squares, π/4 of the length is boundary (Crofton).
        let boundary = std::f64::consts::FRAC_PI_4 * unlike as f64 * pitch;
        let grid = (GRID_VARIANCE * boundary * pitch.powi(3)).sqrt();
        sums.push((hollow + WIDER * (sum - hollow) + grid * normal(&mut chance)).max(0.0));
    });
    sums.sort_by(f64::total_cmp);
    let at = |share: f64| sums.get((share * sums.len() as f64) as usize).copied().unwrap_or(hollow);
    (hollow, (at(0.05).min(hollow), at(0.95).max(hollow)))
}

fn normal(stream: &mut Stream) -> f64 {
    (-2.0 * stream.uniform().ln()).sqrt() * (std::f64::consts::TAU * stream.uniform()).cos()
}

struct Plane<'a> {
    hull: Vec<(f64, f64)>,
    boundary: Option<&'a Outline>,
    places: &'a [Option<(f64, f64)>],
    pitch: f64,
    cells: Cells,
}

impl Plane<'_> {
    /// The nearest tap of a point of the surveyed plane.
    fn tap_at(&self, x: f64, y: f64) -> Option<usize> {
        let inside = self
            .hull
            .iter()
            .zip(self.hull.iter().cycle().skip(1))
            .all(|(a, b)| (b.0 - a.0) * (y - a.1) - (b.1 - a.1) * (x - a.0) >= -1e-9);
        let point = Point::new(Length::from_metres(x), Length::from_metres(y));
        if !inside || self.boundary.is_some_and(|outline| !outline.holds(point)) {
            return None;
        }
        self.cells
            .about((x, y))
            .filter_map(|i| self.places[i].map(|p| (i, (p.0 - x).hypot(p.1 - y))))
            .filter(|(_, distance)| *distance <= self.pitch)
            .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
            .map(|(i, _)| i)
    }

    fn border(&self) -> Option<Outline> {
        let corners: Vec<Point> = self
            .hull
            .iter()
            .map(|(x, y)| Point::new(Length::from_metres(*x), Length::from_metres(*y)))
            .collect();
        Outline::new(&corners).ok()
    }

    fn extent(&self) -> ((f64, f64), (f64, f64)) {
        self.hull.iter().fold(
            ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY)),
            |(low, high), p| ((low.0.min(p.0), low.1.min(p.1)), (high.0.max(p.0), high.1.max(p.1))),
        )
    }

    /// Area that each tap stands for, in m².
    fn areas(&self) -> Vec<f64> {
        let side = self.pitch / FINE;
        let half = FINE as i32;
        self.places
            .iter()
            .enumerate()
            .map(|(tap, place)| {
                let Some((x, y)) = place else { return 0.0 };
                let at = |n: i32| (f64::from(n) + 0.5) * side;
                let own = (-half..half)
                    .flat_map(|i| (-half..half).map(move |j| (i, j)))
                    .filter(|(i, j)| self.tap_at(x + at(*i), y + at(*j)) == Some(tap))
                    .count();
                own as f64 * side * side
            })
            .collect()
    }

    fn map(&self, hollow: &[f64], surveyed: f64) -> Map {
        let ((left, bottom), (right, top)) = self.extent();
        let box_area = (right - left) * (top - bottom);
        let spacing = (self.pitch / NODES).max((box_area.max(surveyed) / MOST_NODES).sqrt());
        let columns = ((right - left) / spacing).round() as usize + 1;
        let rows = ((top - bottom) / spacing).round() as usize + 1;
        let nodes = (0..rows * columns)
            .map(|n| {
                let x = left + (n % columns) as f64 * spacing;
                let y = bottom + (n / columns) as f64 * spacing;
                self.tap_at(x, y)?;
                Some(Fraction::new(self.kriged(x, y, hollow)))
            })
            .collect();
        Map {
            origin: Point::new(Length::from_metres(left), Length::from_metres(bottom)),
            spacing: Length::from_metres(spacing),
            columns,
            nodes,
        }
    }

    /// Ordinary kriging of the taps' probabilities.
    fn kriged(&self, x: f64, y: f64, hollow: &[f64]) -> f64 {
        let mut near: Vec<(usize, (f64, f64), f64)> = self
            .cells
            .about((x, y))
            .filter_map(|i| self.places[i].map(|p| (i, p, (p.0 - x).hypot(p.1 - y))))
            .collect();
        near.sort_by(|a, b| a.2.total_cmp(&b.2).then(a.0.cmp(&b.0)));
        near.truncate(KRIGED);
        let (low, high) = near.iter().fold((1.0f64, 0.0f64), |(low, high), (i, ..)| {
            (low.min(hollow[*i]), high.max(hollow[*i]))
        });
        if high - low < 0.03 {
            return f64::midpoint(low, high);
        }
        let range = (3.0 * self.pitch).max(0.9);
        let variogram = |distance: f64| {
            let h = (distance / range).min(1.0);
            if distance < 1e-9 {
                0.0
            } else {
                3.0 / 17.0 + 14.0 / 17.0 * (1.5 * h - 0.5 * h.powi(3))
            }
        };
        let count = near.len();
        let system =
            DMatrix::from_fn(count + 1, count + 1, |i, j| match (i == count, j == count) {
                (true, true) => 0.0,
                (true, _) | (_, true) => 1.0,
                _ => {
                    let (a, b) = (near[i].1, near[j].1);
                    variogram((a.0 - b.0).hypot(a.1 - b.1))
                }
            });
        let right = DVector::from_fn(count + 1, |i, _| {
            if i == count { 1.0 } else { variogram(near[i].2.max(1e-6)) }
        });
        match system.lu().solve(&right) {
            Some(weights) => near
                .iter()
                .enumerate()
                .map(|(k, (i, ..))| weights[k] * hollow[*i])
                .sum::<f64>()
                .clamp(0.0, 1.0),
            // Two taps at one place: the nearest speaks.
            None => near.first().map_or(0.0, |(i, ..)| hollow[*i]),
        }
    }
}

/// Hollow taps that touch, each with its outline and its share of the total.
fn patches(
    plane: &Plane<'_>,
    map: &Map,
    neighbours: &Neighbours,
    (hollow, likely): (&[f64], &[f64]),
    areas: &[f64],
    total: f64,
    bounds: (f64, f64),
) -> Vec<HollowArea> {
    let member = components(neighbours, hollow);
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (tap, patch) in member.iter().enumerate() {
        if let Some(patch) = patch
            && plane.places[tap].is_some()
        {
            members.entry(*patch).or_default().push(tap);
        }
    }
    let mut count: BTreeMap<usize, f64> = BTreeMap::new();
    for (tap, area) in areas.iter().enumerate() {
        // A sound tap beside a patch lends it what it may have of it.
        let patch = member[tap].or_else(|| neighbours.of[tap].iter().find_map(|(j, _)| member[*j]));
        if let Some(patch) = patch {
            *count.entry(patch).or_default() += likely[tap] * area;
        }
    }
    let all: f64 = count.values().sum::<f64>().max(1e-12);
    let mut patches: Vec<HollowArea> = members
        .into_iter()
        .filter_map(|(patch, taps)| {
            let area = count.get(&patch).copied().unwrap_or(0.0);
            let outline = outline_of(plane, map, &member, patch, &taps)?;
            // Bounds shrink as variances of independent patches add up.
            let share = (area / all).sqrt();
            let low = (area - (total - bounds.0) * share).max(0.0);
            let high = area + (bounds.1 - total) * share;
            Some(HollowArea {
                outline,
                taps,
                area: Area::from_square_metres(area),
                bounds: (Area::from_square_metres(low), Area::from_square_metres(high)),
            })
        })
        .collect();
    patches.sort_by(|a, b| b.area.square_metres().total_cmp(&a.area.square_metres()));
    patches
}

/// For each hollow tap the first tap of its patch.
fn components(neighbours: &Neighbours, hollow: &[f64]) -> Vec<Option<usize>> {
    let mut patch = vec![None; hollow.len()];
    for first in 0..hollow.len() {
        if hollow[first] < HOLLOW_FROM || patch[first].is_some() {
            continue;
        }
        let mut open = vec![first];
        patch[first] = Some(first);
        while let Some(tap) = open.pop() {
            for (j, _) in &neighbours.of[tap] {
                if hollow[*j] >= HOLLOW_FROM && patch[*j].is_none() {
                    patch[*j] = Some(first);
                    open.push(*j);
                }
            }
        }
    }
    patch
}

fn outline_of(
    plane: &Plane<'_>,
    map: &Map,
    member: &[Option<usize>],
    patch: usize,
    taps: &[usize],
) -> Option<Outline> {
    let spacing = map.spacing.metres();
    let (left, bottom) = (map.origin.x.metres(), map.origin.y.metres());
    let rows = map.nodes.len() / map.columns.max(1);
    // Nodes about the patch, with a margin of two pitches.
    let of_patch = |pick: fn((f64, f64)) -> f64| {
        let values = taps.iter().filter_map(|tap| plane.places[*tap]).map(pick);
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
    };
    let window = |(low, high): (f64, f64), origin: f64, most: usize| {
        let node = |v: f64| ((v - origin) / spacing).clamp(0.0, most.saturating_sub(1) as f64);
        let margin = 2.0 * plane.pitch;
        (node(low - margin).floor() as usize, node(high + margin).ceil() as usize)
    };
    let (first_column, last_column) = window(of_patch(|p| p.0), left, map.columns);
    let (first_row, last_row) = window(of_patch(|p| p.1), bottom, rows);
    let columns = last_column + 1 - first_column;
    let values: Vec<f64> = (first_row..=last_row)
        .flat_map(|row| (first_column..=last_column).map(move |column| (column, row)))
        .map(|(column, row)| {
            let Some(value) = map.nodes[row * map.columns + column] else { return 0.0 };
            let x = left + column as f64 * spacing;
            let y = bottom + row as f64 * spacing;
            // A node belongs to the patch of the nearest hollow tap within a pitch and a half.
            let nearest = plane
                .cells
                .about((x, y))
                .filter(|i| member[*i].is_some())
                .filter_map(|i| plane.places[i].map(|p| (i, (p.0 - x).hypot(p.1 - y))))
                .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
            match nearest {
                Some((tap, _)) if member[tap] == Some(patch) => value.ratio(),
                _ => 0.0,
            }
        })
        .collect();
    let metres = |x: f64, y: f64| {
        Point::new(
            Length::from_metres(left + (first_column as f64 + x) * spacing),
            Length::from_metres(bottom + (first_row as f64 + y) * spacing),
        )
    };
    let drawn = rings(&values, columns, last_row + 1 - first_row, OUTLINE_AT)
        .into_iter()
        .filter_map(|ring| {
            let corners: Vec<Point> = ring.iter().map(|(x, y)| metres(*x, *y)).collect();
            Outline::new(&corners).ok()
        })
        .max_by(|a, b| a.area().square_metres().total_cmp(&b.area().square_metres()));
    let half = Length::from_metres(plane.pitch / 2.0);
    drawn.or_else(|| {
        // Too small for a line: the square that its tap stands for.
        let (x, y) = plane.places[*taps.first()?]?;
        let centre = Point::new(Length::from_metres(x), Length::from_metres(y));
        Outline::rectangle(
            Point::new(centre.x - half, centre.y - half),
            Point::new(centre.x + half, centre.y + half),
        )
        .ok()
    })
}

/// Convex hull, anticlockwise, each side moved out by half a pitch.
fn grown_hull(places: &[Option<(f64, f64)>], pitch: f64) -> Option<Vec<(f64, f64)>> {
    let mut points: Vec<(f64, f64)> = places.iter().flatten().copied().collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    points.dedup();
    let cross = |o: (f64, f64), a: (f64, f64), b: (f64, f64)| {
        (a.0 - o.0) * (b.1 - o.1) - (a.1 - o.1) * (b.0 - o.0)
    };
    let half = |points: &mut dyn Iterator<Item = (f64, f64)>| {
        let mut chain: Vec<(f64, f64)> = Vec::new();
        for point in points {
            while chain.len() >= 2
                && cross(chain[chain.len() - 2], chain[chain.len() - 1], point) <= 1e-9
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut points.iter().copied());
    hull.extend(half(&mut points.iter().rev().copied()));
    if hull.len() < 3 || pitch <= 0.0 {
        return None;
    }
    let side = |k: usize| {
        let (a, b) = (hull[k], hull[(k + 1) % hull.len()]);
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let (nx, ny) = ((b.1 - a.1) / length, (a.0 - b.0) / length);
        // n · p = d
        (nx, ny, nx * a.0 + ny * a.1 + pitch / 2.0)
    };
    let corners = (0..hull.len())
        .map(|k| {
            let (before, after) = (side((k + hull.len() - 1) % hull.len()), side(k));
            let determinant = before.0 * after.1 - before.1 * after.0;
            if determinant.abs() < 1e-6 {
                return (hull[k].0 + after.0 * pitch / 2.0, hull[k].1 + after.1 * pitch / 2.0);
            }
            (
                (before.2 * after.1 - after.2 * before.1) / determinant,
                (before.0 * after.2 - after.0 * before.2) / determinant,
            )
        })
        .collect();
    Some(corners)
}

#[cfg(test)]
mod tests {
    use tooth_measure::Fraction;

    use crate::Groups;
    use crate::synthesizer::{Patch, Recipe, placed_patches};

    use super::*;

    /// True area, estimate and bounds of one slab whose every tap is labelled, a share of
    /// the labels wrong; the grid lies anywhere over the patches.
    fn labelled(seed: u64, pitch: f64, wrong: f64, patches: u32) -> (f64, f64, (f64, f64)) {
        let mut recipe = Recipe::usual(Seed(seed));
        recipe.pitch = Length::from_metres(pitch);
        recipe.columns = (3.6 / pitch).round() as u32;
        recipe.rows = (3.0 / pitch).round() as u32;
        recipe.patches = crate::synthesizer::Patches::Drawn(patches);
        let patches: Vec<Patch> = placed_patches(&recipe);
        let mut chance = Stream::new(Seed(seed), 5);
        let places: Vec<Option<(f64, f64)>> = (0..recipe.columns * recipe.rows)
            .map(|n| {
                let (column, row) = (n % recipe.columns, n / recipe.columns);
                Some((pitch * (f64::from(column) + 0.5), pitch * (f64::from(row) + 0.5)))
            })
            .collect();
        let labels: Vec<bool> = places
            .iter()
            .flatten()
            .map(|(x, y)| {
                let place = Point::new(Length::from_metres(*x), Length::from_metres(*y));
                let inside = patches.iter().any(|p| p.relative_radius(place) < Fraction::new(1.0));
                inside != (chance.uniform() < wrong)
            })
            .collect();
        let neighbours = Neighbours::new(&places);
        let known: Vec<Option<crate::Known>> = labels
            .iter()
            .map(|h| Some(if *h { crate::Known::Hollow } else { crate::Known::Sound }))
            .collect();
        let word = crate::groups::word(&known, &neighbours);
        let told = Told {
            hollow: labels.iter().map(|h| if *h { 1.0 } else { 0.0 }).collect(),
            evidence: labels.iter().map(|h| if *h { word } else { -word }).collect(),
            share: crate::groups::share_of(
                labels.iter().filter(|h| **h).count() as f64,
                labels.len(),
            ),
            groups: Groups::Two,
        };
        let areas = vec![pitch * pitch; labels.len()];
        let spread = Spread::new(&neighbours, told.share);
        let likely = spread.probabilities(&told.evidence);
        let (hollow, bounds) = total(&neighbours, &spread, &told, &likely, &areas, Seed(seed));
        let truth = patches.iter().map(|patch| patch.area().square_metres()).sum();
        (truth, hollow, bounds)
    }

    /// Share of slabs whose truth lies between the bounds, and bias of the estimate.
    fn trial(slabs: u64, pitch: f64, wrong: f64, patches: u32) -> (f64, f64) {
        let (mut inside, mut estimated, mut true_area) = (0, 0.0, 0.0);
        for seed in 0..slabs {
            let (truth, hollow, bounds) = labelled(20_000 + seed, pitch, wrong, patches);
            inside += u64::from(bounds.0 <= truth && truth <= bounds.1);
            estimated += hollow;
            true_area += truth;
        }
        let found = (inside as f64 / slabs as f64, estimated / true_area - 1.0);
        println!("{pitch} m, {wrong} wrong, {patches} patches: {found:.3?} covered and bias");
        found
    }

    #[test]
    fn bounds_hold_the_truth_nine_times_in_ten() {
        let (covered, bias) = trial(400, 0.30, 0.0, 3);
        assert!((0.87..=0.93).contains(&covered), "{covered}");
        assert!(bias.abs() < 0.03, "{bias}");
        for (pitch, patches) in [(0.20, 3), (0.30, 1), (0.30, 6)] {
            let (covered, bias) = trial(200, pitch, 0.0, patches);
            assert!((0.83..=0.96).contains(&covered), "{pitch} m, {patches}: {covered}");
            assert!(bias.abs() < 0.04, "{pitch} m, {patches}: {bias}");
        }
    }

    #[test]
    fn one_wrong_label_in_twenty_biases_the_area_by_less_than_a_tenth() {
        let (_, bias) = trial(60, 0.15, 0.05, 3);
        assert!(bias.abs() < 0.10, "{bias}");
    }
}
