//! Properties that the figures of every surface have.
//!
//! Seeds are fixed, so that a run is repeatable; `PROPTEST_RNG_SEED` draws others.

#![expect(clippy::expect_used, reason = "a test fails loudly")]

use std::sync::LazyLock;

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::RngSeed;
use tooth_measure::chance::{Seed, Stream};
use tooth_measure::{Fraction, Length, ProfileLevel};
use tooth_texture::calibration::{
    BETWEEN_SURFACES, Bandwidth, Calibration, Edition, Figures, Grade, Placement, RatedSurface,
};
use tooth_texture::{
    Alone, Areal, Curve, Form, HeightMap, Job, Refusal, Rows, Texture, Treatment, Workers,
    closing_depth, synthetic,
};

fn cases(cases: u32) -> ProptestConfig {
    let mut config = ProptestConfig { cases, failure_persistence: None, ..Default::default() };
    if config.rng_seed == RngSeed::Random {
        config.rng_seed = RngSeed::Fixed(16_610);
    }
    config
}

fn mm(value: f64) -> Length {
    Length::from_millimetres(value)
}

/// Heights over a grid, before they are a map.
#[derive(Debug, Clone)]
struct Grid {
    rows: usize,
    columns: usize,
    steps: [f64; 2],
    /// Not a number where missing.
    heights: Vec<f64>,
}

impl Grid {
    fn map(&self) -> HeightMap {
        HeightMap::new(self.rows, self.columns, self.steps.map(mm), &self.heights).expect("a map")
    }

    fn texture(&self, form: Form) -> Texture {
        texture(self.map(), &Treatment { form, ..Treatment::default() })
    }

    fn changed(&self, change: impl Fn(f64, f64, f64) -> f64) -> Self {
        let heights = self.heights.iter().enumerate().map(|(k, z)| {
            let (row, column) = (k / self.columns, k % self.columns);
            change(column as f64 * self.steps[0], row as f64 * self.steps[1], *z)
        });
        Self { heights: heights.collect(), ..self.clone() }
    }

    fn half_turned(&self) -> Self {
        Self { heights: self.heights.iter().rev().copied().collect(), ..self.clone() }
    }
}

fn texture(map: HeightMap, treatment: &Treatment) -> Texture {
    Texture::of(map, treatment, &Alone).expect("a texture")
}

/// Smooth or rough, even or skewed, complete or with holes, by chance.
#[derive(Debug, Clone, Copy)]
struct Kind {
    rows: usize,
    columns: usize,
    steps: [f64; 2],
    /// How often neighbours are averaged.
    smoothing: usize,
    skew: f64,
    /// Share that is missing.
    missing: f64,
    seed: u64,
}

fn grid(kind: Kind) -> Grid {
    let Kind { rows, columns, steps, smoothing, skew, missing, seed } = kind;
    let mut chance = Stream::new(Seed(seed), 0);
    let mut z: Vec<f64> = (0..rows * columns).map(|_| chance.uniform() - 0.5).collect();
    for _ in 0..smoothing {
        let before = z.clone();
        let at = |row: usize, column: usize| before[row % rows * columns + column % columns];
        for (k, z) in z.iter_mut().enumerate() {
            let (row, column) = (k / columns, k % columns);
            let across = at(row, column + columns - 1) + at(row, column + 1);
            let along = at(row + rows - 1, column) + at(row + 1, column);
            *z = at(row, column) / 3.0 + (across + along) / 6.0;
        }
    }
    let count = z.len() as f64;
    let mean = z.iter().sum::<f64>() / count;
    let rms = (z.iter().map(|z| (z - mean).powi(2)).sum::<f64>() / count).sqrt();
    for z in &mut z {
        let even = (*z - mean) / rms;
        *z = if skew == 0.0 { even } else { (skew * even).exp_m1() / skew };
        if chance.uniform() < missing {
            *z = f64::NAN;
        }
    }
    Grid { rows, columns, steps, heights: z }
}

/// Maps of an even number of rows and columns, so that cells of 65 mm are alike from both ends.
fn grids() -> impl Strategy<Value = Grid> {
    (6usize..20, 6usize..20, [0.1f64..4.0, 0.1f64..4.0], 0usize..6, -0.9f64..0.9, any::<u64>())
        .prop_flat_map(|(rows, columns, steps, smoothing, skew, seed)| {
            let missing = prop_oneof![Just(0.0), 0.0..0.3];
            (missing, any::<bool>()).prop_map(move |(missing, even)| {
                let skew = if even { 0.0 } else { skew };
                let (rows, columns) = (2 * rows, 2 * columns);
                grid(Kind { rows, columns, steps, smoothing, skew, missing, seed })
            })
        })
}

fn forms() -> impl Strategy<Value = Form> {
    prop_oneof![Just(Form::None), Just(Form::Plane)]
}

#[track_caller]
fn alike(what: &str, got: f64, expected: f64, relative: f64) {
    // To what a figure of about one may be off where it happens to be small.
    let allowed = relative * expected.abs().max(1e-3);
    assert!((got - expected).abs() <= allowed, "{what}: {got}, expected {expected}");
}

/// Sa, Sq, Sp, Sv, Sz.
fn heights(areal: &Areal) -> [f64; 5] {
    [
        areal.mean_height,
        areal.root_mean_square_height,
        areal.highest_peak,
        areal.deepest_pit,
        areal.greatest_height,
    ]
    .map(Length::millimetres)
}

fn shape(areal: &Areal) -> [f64; 2] {
    [areal.skewness.expect("not flat"), areal.kurtosis.expect("not flat")]
}

fn gradient(areal: &Areal) -> f64 {
    areal.root_mean_square_gradient.expect("neighbours")
}

fn sand(texture: &Texture) -> f64 {
    texture.mean_texture_depth.expect("a depth").millimetres()
}

fn sal(texture: &Texture) -> f64 {
    texture.correlation.expect("a correlation").shortest.millimetres()
}

/// Figures that do not depend on where a map lies or how it is turned.
fn same(one: &Texture, other: &Texture, relative: f64) {
    for (got, expected) in heights(&one.areal).into_iter().zip(heights(&other.areal)) {
        alike("a height", got, expected, relative);
    }
    for (got, expected) in shape(&one.areal).into_iter().zip(shape(&other.areal)) {
        alike("skewness or kurtosis", got, expected, 10.0 * relative);
    }
    alike("Sdq", gradient(&one.areal), gradient(&other.areal), relative);
    let developed = |texture: &Texture| texture.areal.developed_area.map(Fraction::ratio);
    match (developed(one), developed(other)) {
        (Some(one), Some(other)) => alike("Sdr", one, other, 10.0 * relative),
        (one, other) => assert_eq!(one, other),
    }
    alike("mean texture depth", sand(one), sand(other), relative);
    alike("Sal", sal(one), sal(other), 100.0 * relative);
    let depth = |texture: &Texture| texture.closing_depth.expect("a depth").millimetres();
    alike("closing", depth(one), depth(other), relative);
    let volumes = |texture: &Texture| {
        let volumes = texture.functional;
        [volumes.peak_material, volumes.core_material, volumes.core_void, volumes.valley_void]
    };
    for (got, expected) in volumes(one).into_iter().zip(volumes(other)) {
        alike("a volume", got.millimetres(), expected.millimetres(), 10.0 * relative);
    }
}

/// Work on three threads, the last part first.
struct Threads;

impl Workers for Threads {
    fn run<'a>(&self, mut jobs: Vec<Job<'a>>) {
        let mut hands: [Vec<Job<'a>>; 3] = std::array::from_fn(|_| Vec::new());
        let mut hand = 0;
        while let Some(job) = jobs.pop() {
            hands[hand].push(job);
            hand = (hand + 1) % hands.len();
        }
        std::thread::scope(|scope| {
            for jobs in hands {
                scope.spawn(move || {
                    for job in jobs {
                        job();
                    }
                });
            }
        });
    }
}

/// The steepness of each cell as a cell's four corners see it: its mean square.
fn square_of_cells(map: &HeightMap) -> f64 {
    let [dx, dy] = map.spacing().map(Length::millimetres);
    let (mut sum, mut count) = (0.0, 0.0);
    for row in 1..map.rows() {
        let [upper, lower] = [row - 1, row].map(|row| map.row_mm(row));
        for (upper, lower) in upper.windows(2).zip(lower.windows(2)) {
            let [a, b, c, d] = [upper[0], upper[1], lower[0], lower[1]].map(f64::from);
            let across = ((b - a).powi(2) + (d - c).powi(2)) / (2.0 * dx * dx);
            let along = ((c - a).powi(2) + (d - b).powi(2)) / (2.0 * dy * dy);
            let square = across + along;
            if square.is_finite() {
                sum += square;
                count += 1.0;
            }
        }
    }
    sum / count
}

proptest! {
    #![proptest_config(cases(128))]

    #[test]
    fn upside_down_the_skewness_turns_and_peaks_are_pits(grid in grids(), form in forms()) {
        let up = grid.texture(form).areal;
        let down = grid.changed(|_, _, z| -z).texture(form).areal;
        alike("Ssk", down.skewness.expect("not flat"), -up.skewness.expect("not flat"), 1e-5);
        alike("Sku", down.kurtosis.expect("not flat"), up.kurtosis.expect("not flat"), 1e-5);
        let [sa, sq, sp, sv, sz] = heights(&up);
        for (got, expected) in heights(&down).into_iter().zip([sa, sq, sv, sp, sz]) {
            alike("a height", got, expected, 1e-5);
        }
        alike("Sdq", gradient(&down), gradient(&up), 1e-5);
    }

    #[test]
    fn heights_scale_with_heights(grid in grids(), form in forms(), power in -3.0f64..3.0) {
        let factor = 10f64.powf(power);
        let one = grid.texture(form);
        let scaled = grid.changed(|_, _, z| z * factor).texture(form);
        for (got, expected) in heights(&scaled.areal).into_iter().zip(heights(&one.areal)) {
            alike("a height", got / factor, expected, 1e-5);
        }
        for (got, expected) in shape(&scaled.areal).into_iter().zip(shape(&one.areal)) {
            alike("skewness or kurtosis", got, expected, 1e-4);
        }
        alike("Sdq", gradient(&scaled.areal) / factor, gradient(&one.areal), 1e-5);
        alike("mean texture depth", sand(&scaled) / factor, sand(&one), 1e-5);
        alike("Sal", sal(&scaled), sal(&one), 1e-3);
    }

    #[test]
    fn spacings_divide_the_slopes(grid in grids(), form in forms(), power in -1.0f64..1.0) {
        let factor = 10f64.powf(power);
        let wide = Grid { steps: grid.steps.map(|step| step * factor), ..grid.clone() };
        let (one, wide) = (grid.texture(form), wide.texture(form));
        alike("Sdq", gradient(&wide.areal) * factor, gradient(&one.areal), 1e-6);
        alike("Sal", sal(&wide) / factor, sal(&one), 1e-3);
        for (got, expected) in heights(&wide.areal).into_iter().zip(heights(&one.areal)) {
            alike("a height", got, expected, 1e-6);
        }
    }

    #[test]
    fn neither_an_offset_nor_a_tilt_changes_a_levelled_map(
        grid in grids(),
        offset in -5000.0f64..5000.0,
        tilt in [-0.2f64..0.2, -0.2f64..0.2],
    ) {
        let one = grid.texture(Form::Plane);
        let raised = grid.changed(|_, _, z| z + offset);
        same(&raised.texture(Form::Plane), &one, 1e-5);
        same(&raised.texture(Form::None), &grid.texture(Form::None), 1e-5);
        let tilted = grid.changed(|x, y, z| z + tilt[0] * x + tilt[1] * y + offset);
        same(&tilted.texture(Form::Plane), &one, 1e-4);
    }

    #[test]
    fn turning_changes_nothing(grid in grids(), form in forms()) {
        let treatment = Treatment { form, ..Treatment::default() };
        let one = grid.texture(form);
        same(&texture(grid.map().transposed(), &treatment), &one, 1e-5);
        same(&grid.half_turned().texture(form), &one, 1e-5);
    }

    #[test]
    fn figures_keep_their_order(grid in grids(), form in forms()) {
        let texture = grid.texture(form);
        let areal = &texture.areal;
        let [sa, sq, sp, sv, sz] = heights(areal);
        let more = 1.0 + 1e-6;
        prop_assert!(sa <= sq * more && sq <= sz / 2.0 * more, "{areal:?}");
        prop_assert!(sp >= 0.0 && sv >= 0.0 && (sp + sv - sz).abs() <= 1e-6 * sz, "{areal:?}");
        let [ssk, sku] = shape(areal);
        prop_assert!(sku * more >= 1.0 + ssk * ssk, "{ssk} {sku}");
        if let Some(developed) = areal.developed_area {
            // A mean of roots is not above the root of the mean.
            let most = (1.0 + square_of_cells(&texture.map)).sqrt() - 1.0;
            let developed = developed.ratio();
            prop_assert!(developed >= 0.0 && developed <= most * (1.0 + 1e-4), "{developed} {most}");
        }
    }

    #[test]
    fn developed_area_goes_with_the_gradient(seed in any::<u64>(), smoothing in 0usize..4) {
        // Edges count less in cells than in differences: a large map.
        let steps = [1.0, 0.7];
        let kind =
            Kind { rows: 120, columns: 90, steps, smoothing, skew: 0.0, missing: 0.0, seed };
        let areal = grid(kind).texture(Form::Plane).areal;
        let most = gradient(&areal).hypot(1.0) - 1.0;
        let developed = areal.developed_area.expect("cells").ratio();
        prop_assert!(developed <= most * 1.02, "{developed} {most}");
    }

    #[test]
    fn volumes_fit_the_curve(grid in grids(), form in forms()) {
        let texture = grid.texture(form);
        let volumes = texture.functional;
        let parts =
            [volumes.peak_material, volumes.core_material, volumes.core_void, volumes.valley_void]
                .map(Length::millimetres);
        prop_assert!(parts.iter().all(|volume| *volume >= 0.0), "{volumes:?}");
        // The void over nothing is the whole mean depth under the highest peak.
        let curve = Curve::of(&texture.map, &Alone);
        let at = |percent: f64| curve.height_at(Fraction::new(percent / 100.0)).millimetres();
        let [_, _, sp, sv, _] = heights(&texture.areal);
        let mean = f64::midpoint(at(0.0) - sp, at(100.0) + sv);
        alike("Sp", at(0.0) - mean, sp, 1e-5);
        alike("Sv", mean - at(100.0), sv, 1e-5);
        // Void less material over a height is the height over the mean.
        let [vmp, vmc, vvc, vvv] = parts;
        alike("void at 10 %", vvc + vvv - vmp, at(10.0) - mean, 1e-4);
        alike("void at 80 %", vvv - vmp - vmc, at(80.0) - mean, 1e-4);
        let curve = (0..=1000).map(|k| at(f64::from(k) / 10.0)).collect::<Vec<_>>();
        prop_assert!(curve.windows(2).all(|z| z[1] <= z[0]), "a curve that rises");
    }

    #[test]
    fn a_wider_closing_lies_deeper(grid in grids(), widths in vec(0.0f64..150.0, 6)) {
        let texture = grid.texture(Form::Plane);
        let sz = texture.areal.greatest_height.millimetres();
        let mut widths = widths;
        widths.sort_by(f64::total_cmp);
        let mut before = 0.0;
        for width in widths {
            let depth = closing_depth(&texture.map, mm(width), &Alone).expect("a depth");
            let depth = depth.millimetres();
            prop_assert!(depth >= before - 1e-6 * sz && depth <= sz, "{depth} {before} {sz}");
            before = depth;
        }
    }
}

/// A kernel of this many steps on each side, beside one that goes through a transform.
fn cutoffs() -> impl Strategy<Value = usize> {
    prop_oneof![3usize..10, 26usize..30]
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn a_filter_leaves_a_level_part_level(
        cutoff in cutoffs(),
        level in -3.0f64..3.0,
        seed in any::<u64>(),
        hole in any::<bool>(),
    ) {
        let steps = [0.5, 0.5];
        let kind =
            Kind { rows: 64, columns: 140, steps, smoothing: 0, skew: 0.0, missing: 0.0, seed };
        let made = grid(kind);
        let z = made.changed(|x, y, z| match (x < 50.0, hole && x < 3.0 && y < 3.0) {
            (true, true) => f64::NAN,
            (true, false) => level,
            (false, _) => z,
        });
        let form = Form::None;
        let raw = z.texture(form).map;
        for robust in [false, true] {
            let cutoff = Some(mm(cutoff as f64 * 0.5));
            let smooth = Treatment { form, s_filter: cutoff, robust, ..Treatment::default() };
            let smooth = texture(z.map(), &smooth).map;
            let rest = Treatment { form, l_filter: cutoff, robust, ..Treatment::default() };
            let rest = texture(z.map(), &rest).map;
            // Columns 0 to 69 see the level part alone.
            for row in 0..64 {
                for column in 0..69 {
                    let [raw, smooth, rest, corner] = [
                        raw.row_mm(row)[column],
                        smooth.row_mm(row)[column],
                        rest.row_mm(row)[column],
                        rest.row_mm(63)[0],
                    ]
                    .map(f64::from);
                    if !raw.is_nan() {
                        prop_assert!((smooth - raw).abs() < 5e-6, "{row} {column}: {smooth} {raw}");
                        prop_assert!((rest - corner).abs() < 5e-6, "{row} {column}: {rest}");
                    }
                }
            }
        }
    }

    #[test]
    fn missing_heights_change_nothing_far_away(
        cutoff in 3usize..10,
        seed in any::<u64>(),
        share in prop_oneof![Just(0.0), 0.0..0.3],
        more in 0.05f64..0.95,
        filters in 0usize..3,
    ) {
        let steps = [0.5, 0.5];
        let kind =
            Kind { rows: 60, columns: 120, steps, smoothing: 1, skew: 0.0, missing: share, seed };
        let one = grid(kind);
        let mut chance = Stream::new(Seed(seed), 1);
        let mut other = one.clone();
        for (k, z) in other.heights.iter_mut().enumerate() {
            if k % 120 >= 80 && chance.uniform() < more {
                *z = f64::NAN;
            }
        }
        let length = cutoff as f64 * 0.5;
        let treatment = Treatment {
            form: Form::None,
            s_filter: (filters != 0).then(|| mm(length)),
            l_filter: (filters != 1).then(|| mm(1.25 * length)),
            robust: false,
        };
        let [one, other] = [one, other].map(|grid| texture(grid.map(), &treatment).map);
        // Both filters reach so far; the mean of all is another.
        let far = 80 - 1 - cutoff - (5 * cutoff).div_ceil(4);
        // Where nothing is missing, lines are filtered one way near the edge and planes, where
        // something is, another.
        let near = if share > 0.0 { 0 } else { cutoff * 5 / 2 };
        let mut shift = None;
        for row in near..60 - near {
            for column in near..far {
                let [a, b] = [&one, &other].map(|map| f64::from(map.row_mm(row)[column]));
                prop_assert_eq!(a.is_nan(), b.is_nan());
                if !a.is_nan() {
                    let shift = *shift.get_or_insert(a - b);
                    prop_assert!((a - b - shift).abs() < 2e-5, "{} {}: {} {}", row, column, a, b);
                }
            }
        }
    }

    #[test]
    fn more_workers_change_no_bit(
        seed in any::<u64>(),
        sides in [70usize..150, 70usize..150],
        missing in prop_oneof![Just(0.0), 0.0..0.2],
        robust in any::<bool>(),
        form in forms(),
    ) {
        let [rows, columns] = sides;
        let kind = Kind { rows, columns, steps: [0.5, 0.7], smoothing: 2, skew: 0.5, missing, seed };
        let map = grid(kind).map();
        let treatment =
            Treatment { form, s_filter: Some(mm(2.0)), l_filter: Some(mm(16.0)), robust };
        let alone = Texture::of(map.clone(), &treatment, &Alone).expect("a texture");
        let threads = Texture::of(map, &treatment, &Threads).expect("a texture");
        let bits = |texture: &Texture| -> Vec<u32> {
            texture.map.heights_mm().iter().map(|z| z.to_bits()).collect()
        };
        prop_assert!(bits(&alone) == bits(&threads), "other heights");
        // Shortest digits that tell each number from all others.
        let said = |texture: &Texture| {
            format!(
                "{:?}",
                (
                    texture.areal,
                    texture.functional,
                    texture.core,
                    &texture.material_ratio,
                    texture.correlation,
                    texture.mean_texture_depth,
                    texture.closing_depth,
                    texture.lines,
                    &texture.fields,
                )
            )
        };
        prop_assert_eq!(said(&alone), said(&threads));
    }
}

/// A shape of two patches of a hand's width.
fn two_patches(seed: u64) -> Grid {
    let steps = [0.25, 0.25];
    let kind =
        Kind { rows: 180, columns: 360, steps, smoothing: 16, skew: -0.3, missing: 0.0, seed };
    grid(kind)
}

fn figures(shape: &Grid, amplitude: f64) -> Vec<Figures> {
    let map = shape.changed(|_, _, z| amplitude * z).map();
    Bandwidth::default().figures(&map, None, &Alone).expect("figures")
}

/// Two surfaces of each level, of the same two shapes.
static POOL: LazyLock<Vec<(ProfileLevel, Vec<Figures>)>> = LazyLock::new(|| {
    let shapes = [1, 2].map(two_patches);
    (1..=10)
        .flat_map(|level| shapes.iter().map(move |shape| (level, shape)))
        .map(|(level, shape)| {
            let amplitude = 0.05 * 1.5f64.powi(i32::from(level) - 1);
            (ProfileLevel::clamped(level), figures(shape, amplitude))
        })
        .collect()
});

fn levels() -> impl Strategy<Value = ProfileLevel> {
    (1u8..=10).prop_map(ProfileLevel::clamped)
}

fn shares(grade: &Grade) -> [f64; 10] {
    grade.probability.map(Fraction::ratio)
}

fn is_a_grade(grade: &Grade) {
    let probability = shares(grade);
    let sum: f64 = probability.iter().sum();
    assert!((sum - 1.0).abs() < 1e-9, "{grade:?}");
    assert!(probability.iter().all(|p| (0.0..=1.0).contains(p)), "{grade:?}");
    let [least, most] = grade.shortest_90;
    assert!(least <= most && grade.chance_in(least, most).ratio() >= 0.9, "{grade:?}");
    // No shorter run holds as much.
    let width = usize::from(most.chip() - least.chip());
    let shorter = |width: usize| probability.windows(width).all(|p| p.iter().sum::<f64>() < 0.9);
    assert!(width == 0 || shorter(width), "{grade:?}");
    assert!(grade.strangeness.ratio() >= 0.0, "{grade:?}");
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn any_chips_and_ratings_give_a_calibration_or_say_why(
        placed in vec((levels(), any::<Index>(), 0usize..3), 0..40),
        rated in vec((vec(levels(), 0..4), any::<Index>(), 0usize..3), 0..12),
        between in 0.01f64..2.0,
        asked in any::<Index>(),
        ten in any::<bool>(),
    ) {
        // Patches of any surface under any name, with scans that gave none.
        let of = |which: &Index, count: usize| POOL[which.index(POOL.len())].1[..count].to_vec();
        let placements: Vec<Placement> = placed
            .iter()
            .zip(0..)
            .map(|((level, which, count), number)| Placement {
                level: *level,
                number,
                patches: of(which, *count),
            })
            .collect();
        let surfaces: Vec<RatedSurface> = rated
            .into_iter()
            .map(|(ratings, which, count)| RatedSurface { ratings, patches: of(&which, count) })
            .collect();
        let edition = if ten { Edition::Ten } else { Edition::Nine };
        let made =
            Calibration::new(edition, Bandwidth::default(), &placements, &surfaces, between);
        if let Ok(calibration) = made {
            let check = calibration.check();
            prop_assert_eq!(check.placements, calibration.placements());
            prop_assert!(check.right <= check.within_one, "{:?}", check);
            prop_assert!(check.ranked_probability_score.is_finite());
            let grade = calibration.grade(&of(&asked, 2));
            is_a_grade(&grade);
            let chips = calibration.chips();
            let outside = |level: &ProfileLevel| *level < chips[0] || *level > chips[chips.len() - 1];
            // Levels without a chip beyond the ends have what lies beyond, and no more.
            let beyond: f64 = grade.beyond.iter().map(|share| share.ratio()).sum();
            let unseen: f64 = shares(&grade)
                .into_iter()
                .zip(1..)
                .filter(|(_, chip)| outside(&ProfileLevel::clamped(*chip)))
                .map(|(share, _)| share)
                .sum();
            prop_assert!(unseen <= beyond + 1e-9, "{:?}", grade);
        }
    }
}

/// A ladder of equal shapes, each half as rough again as the one before.
static LADDER: LazyLock<Calibration> = LazyLock::new(|| {
    let placements: Vec<Placement> = POOL
        .iter()
        .map(|(level, patches)| Placement { level: *level, number: 1, patches: patches.clone() })
        .collect();
    Calibration::new(Edition::Ten, Bandwidth::default(), &placements, &[], BETWEEN_SURFACES)
        .expect("a calibration")
});

proptest! {
    #![proptest_config(cases(16))]

    #[test]
    fn a_rougher_surface_is_never_graded_lower(seed in any::<u64>(), steps in vec(1.02f64..1.6, 6)) {
        let shape = two_patches(seed);
        let (mut rough, mut before) = (0.03, 0.0);
        for step in steps {
            let grade = LADDER.grade(&figures(&shape, rough));
            is_a_grade(&grade);
            let level: f64 =
                shares(&grade).iter().zip(1..).map(|(p, level)| p * f64::from(level)).sum();
            prop_assert!(level >= before - 1e-6, "{level} after {before}");
            before = level;
            rough *= step * step;
        }
    }
}

#[test]
fn what_lies_beyond_the_chips_has_no_grade() {
    // Chips 3 to 7 only; surfaces as smooth as 1 and as rough as 9.
    let some: Vec<Placement> = POOL
        .iter()
        .filter(|(level, _)| (3..=7).contains(&level.chip()))
        .map(|(level, patches)| Placement { level: *level, number: 1, patches: patches.clone() })
        .collect();
    let few = Calibration::new(Edition::Ten, Bandwidth::default(), &some, &[], BETWEEN_SURFACES)
        .expect("a calibration");
    for (level, patches) in POOL.iter() {
        let beyond = [1, 9, 10].contains(&level.chip());
        assert!(!beyond || few.grade(patches).doubt().is_some(), "{level}");
    }
}

#[test]
fn a_chip_is_told_as_its_own_level() {
    for (level, patches) in POOL.iter() {
        let grade = LADDER.grade(patches);
        is_a_grade(&grade);
        assert_eq!(grade.likeliest(), *level, "{grade:?}");
        assert!(grade.strangeness.ratio() < 1.0, "{grade:?}");
    }
}

/// A map that is handed out in rows.
struct InRows(HeightMap);

impl Rows for InRows {
    type Trouble = Refusal;
    fn rows(&self) -> usize {
        self.0.rows()
    }
    fn columns(&self) -> usize {
        self.0.columns()
    }
    fn spacing(&self) -> [Length; 2] {
        self.0.spacing()
    }
    fn read(&self, rows: std::ops::Range<usize>) -> Result<HeightMap, Refusal> {
        self.0.cut(rows, 0..self.0.columns())
    }
}

#[test]
fn a_map_read_in_strips_has_the_figures_of_the_whole() {
    let mm = Length::from_millimetres;
    // Four strips of a tilted Gaussian surface, with and without a hole.
    let side = 520;
    let made = synthetic::gaussian(side, mm(0.5), mm(0.3), mm(2.0), Seed(5));
    let tilted: Vec<f64> = made
        .heights_mm()
        .iter()
        .enumerate()
        .map(|(k, z)| f64::from(*z) + 0.01 * (k % side) as f64 - 0.004 * (k / side) as f64)
        .collect();
    let mut holed = tilted.clone();
    for row in 100..140 {
        holed[row * side + 200..row * side + 260].fill(f64::NAN);
    }
    for (heights, is_holed) in [(tilted, false), (holed, true)] {
        let map = HeightMap::new(side, side, [mm(0.5); 2], &heights).expect("a map");
        for (s, l) in [(None, None), (Some(1.0), Some(25.0))] {
            let treatment =
                Treatment { s_filter: s.map(mm), l_filter: l.map(mm), ..Treatment::default() };
            let whole = Texture::of(map.clone(), &treatment, &Alone).expect("a texture");
            let strips =
                Texture::of_rows(&InRows(map.clone()), &treatment, &Alone).expect("a texture");
            let figures = |t: &Texture| {
                let a = &t.areal;
                [
                    a.mean_height.millimetres(),
                    a.root_mean_square_height.millimetres(),
                    a.skewness.expect("not flat") + 10.0,
                    a.kurtosis.expect("not flat"),
                    a.greatest_height.millimetres(),
                    a.root_mean_square_gradient.expect("slopes"),
                    a.gradient_of_seven_points.expect("slopes"),
                    a.developed_area.expect("cells").ratio(),
                    t.functional.peak_material.millimetres(),
                    t.functional.core_void.millimetres(),
                    t.core.expect("a core").depth.millimetres(),
                    t.correlation.expect("a correlation").shortest.millimetres(),
                    t.mean_texture_depth.expect("a depth").millimetres(),
                    t.closing_depth.expect("a depth").millimetres(),
                    t.coverage.ratio(),
                ]
            };
            for (k, (a, b)) in figures(&whole).into_iter().zip(figures(&strips)).enumerate() {
                // With a hole, the edges of a whole map are filtered by planes, those of strips
                // without one by lines.
                let near = if is_holed && l.is_some() { 2e-3 } else { 2e-5 };
                assert!((a - b).abs() < near * a.abs(), "figure {k} of {treatment}: {a}, {b}");
            }
        }
    }
}
