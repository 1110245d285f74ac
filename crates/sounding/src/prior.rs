//! What sound and hollow taps are like before a slab has taught its own.
//!
//! Means and covariances of the [excess](crate::excess) over twenty bands, pooled over
//! ninety synthesized slabs (seeds 5000 to 5089, 6 dB to 30 dB over the noise, three
//! kinds of rim, four rooms, slow taps and quick ones); the test below learns them again. Nothing in them comes
//! from a real slab.

use nalgebra::{DMatrix, DVector};

use crate::prior_table::{HOLLOW_MEAN, HOLLOW_SPREAD, SOUND};
use crate::spectrum::BANDS;

/// Of the lowest so many bands.
#[derive(Debug, Clone)]
pub(crate) struct Prior {
    /// Covariance of sound taps within a slab, dB².
    pub(crate) sound: DMatrix<f64>,
    /// Mean shift of taps well inside a loose patch, dB.
    pub(crate) hollow_mean: DVector<f64>,
    /// Covariance of that shift, dB².
    pub(crate) hollow_spread: DMatrix<f64>,
}

impl Prior {
    pub(crate) fn of_bands(bands: usize) -> Self {
        Self {
            sound: square(&SOUND, bands),
            hollow_mean: DVector::from_column_slice(&HOLLOW_MEAN[..bands]),
            hollow_spread: square(&HOLLOW_SPREAD, bands),
        }
    }
}

/// A symmetric matrix from the rows of its lower triangle.
fn square(lower: &[f64; BANDS * (BANDS + 1) / 2], bands: usize) -> DMatrix<f64> {
    DMatrix::from_fn(bands, bands, |i, j| {
        let (row, column) = (i.max(j), i.min(j));
        lower[row * (row + 1) / 2 + column]
    })
}

#[cfg(test)]
mod tests {
    use std::fmt::Write as _;

    use nalgebra::{DMatrix, DVector};
    use tooth_measure::chance::Seed;
    use tooth_measure::{Fraction, Frequency, Level, TimeSpan};

    use crate::Known;
    use crate::excess::{excess, noise, reference};
    use crate::listen::Listener;
    use crate::spectrum::{BANDS, Powers};
    use crate::synthesizer::Recipe;

    /// Excess and relative radius of the taps of one synthesized slab.
    fn slab(number: u64) -> Vec<(Vec<f64>, f64)> {
        let mut recipe = Recipe::usual(Seed(5000 + number));
        let pick = |values: &[f64], n: u64| values[(n % values.len() as u64) as usize];
        recipe.signal_to_noise = Level::from_decibels(pick(&[6.0, 10.0, 15.0, 20.0, 30.0], number));
        recipe.rim_exponent = Fraction::new(pick(&[1.0, 1.5, 2.0], number));
        recipe.reverberation = TimeSpan::from_seconds(pick(&[0.3, 0.5, 1.0, 1.5], number / 3));
        recipe.direct_to_room = Level::from_decibels(pick(&[6.0, 9.0, 3.0], number / 5));
        recipe.tap_rate = Frequency::from_hertz(pick(&[2.0, 2.0, 3.0], number / 2));
        let made = recipe.make();
        let mut listener = Listener::new(made.sample_rate);
        listener.hear(&made.samples);
        let heard = listener.finish();
        let events: Vec<_> = made
            .taps
            .iter()
            .map(|tap| heard.events.iter().find(|e| (e.time - tap.time.seconds()).abs() < 0.01))
            .collect();
        let powers: Vec<Option<Powers>> =
            events.iter().map(|event| event.map(|event| event.powers)).collect();
        let before: Vec<Option<Powers>> =
            events.iter().map(|event| event.map(|event| event.before)).collect();
        let noise = noise(&before, BANDS);
        let known: Vec<Option<Known>> = made
            .taps
            .iter()
            .enumerate()
            .map(|(n, tap)| {
                (tap.relative_radius.ratio() > 1.4 && n % 9 == 0).then_some(Known::Sound)
            })
            .collect();
        let reference = reference(&powers, &noise, &known);
        excess(&powers, &noise, &reference)
            .into_iter()
            .zip(&made.taps)
            .filter_map(|(excess, tap)| Some((excess?, tap.relative_radius.ratio())))
            .collect()
    }

    fn covariance(rows: &[DVector<f64>]) -> DMatrix<f64> {
        let mut sum = DMatrix::zeros(BANDS, BANDS);
        for row in rows {
            sum.ger(1.0 / rows.len() as f64, row, row, 1.0);
        }
        // A third of a decibel squared beside what the synthesizer knows of.
        sum + DMatrix::identity(BANDS, BANDS) * 0.3
    }

    fn table(name: &str, what: &str, values: &[f64], count: &str) -> String {
        let mut text = format!("\n/// {what}\npub(crate) const {name}: [f64; {count}] = [\n");
        for row in values.chunks(10) {
            let cells: Vec<String> = row.iter().map(|v| format!("{v:.3}")).collect();
            let _ = writeln!(text, "    {},", cells.join(", "));
        }
        text.push_str("];\n");
        text
    }

    fn lower(matrix: &DMatrix<f64>) -> Vec<f64> {
        (0..BANDS).flat_map(|i| (0..=i).map(move |j| (i, j))).map(|at| matrix[at]).collect()
    }

    #[test]
    fn the_table_is_what_synthesized_slabs_teach() {
        let slabs: Vec<Vec<(Vec<f64>, f64)>> = (0..90).map(slab).collect();
        let (mut sound, mut hollow) = (Vec::new(), Vec::new());
        for taps in &slabs {
            let far: Vec<DVector<f64>> = taps
                .iter()
                .filter(|(_, radius)| *radius > 1.2)
                .map(|(excess, _)| DVector::from_column_slice(excess))
                .collect();
            let mean =
                far.iter().fold(DVector::zeros(BANDS), |sum, tap| sum + tap) / far.len() as f64;
            sound.extend(far.iter().map(|tap| tap - &mean));
            hollow.extend(
                taps.iter()
                    .filter(|(_, radius)| *radius < 0.8)
                    .map(|(excess, _)| DVector::from_column_slice(excess) - &mean),
            );
        }
        let shift =
            hollow.iter().fold(DVector::zeros(BANDS), |sum, tap| sum + tap) / hollow.len() as f64;
        let off: Vec<DVector<f64>> = hollow.iter().map(|tap| tap - &shift).collect();
        let triangle = "BANDS * (BANDS + 1) / 2";
        let text = [
            "//! Printed by the test of `prior.rs` where it differs: decibels, and their\n\
             //! squares row by row of the lower triangle.\n\
             \n\
             use crate::spectrum::BANDS;\n"
                .to_owned(),
            table("SOUND", "Covariance of sound taps.", &lower(&covariance(&sound)), triangle),
            table("HOLLOW_MEAN", "Mean shift of hollow taps.", shift.as_slice(), "BANDS"),
            table(
                "HOLLOW_SPREAD",
                "Covariance of that shift.",
                &lower(&covariance(&off)),
                triangle,
            ),
        ]
        .concat();
        let numbers = |text: &str| -> Vec<f64> {
            text.split(['[', ']', ',', '\n', ' ']).filter_map(|word| word.parse().ok()).collect()
        };
        let (written, learnt) = (numbers(include_str!("prior_table.rs")), numbers(&text));
        assert_eq!(written.len(), learnt.len());
        for (written, learnt) in written.iter().zip(&learnt) {
            // Another processor rounds transcendental functions otherwise.
            assert!(
                (written - learnt).abs() <= 0.05 + 0.01 * learnt.abs(),
                "{written} {learnt}:\n{text}"
            );
        }
    }
}
