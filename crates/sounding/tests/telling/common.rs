//! Synthesized settings, known-good taps and scores that several tests share.

use tooth_measure::chance::{Seed, Stream};
use tooth_measure::{Fraction, Level, TimeSpan};
use tooth_sounding::synthesizer::{Made, Recipe};
use tooth_sounding::{Class, Heard, Known, Listener, Mark, Sounding};

pub(crate) fn recipe(seed: u64, signal_to_noise: f64, rim: f64) -> Recipe {
    let mut recipe = Recipe::usual(Seed(seed));
    recipe.signal_to_noise = Level::from_decibels(signal_to_noise);
    recipe.rim_exponent = Fraction::new(rim);
    recipe.reverberation = TimeSpan::from_seconds([0.3, 0.5, 0.8][seed as usize % 3]);
    recipe
}

pub(crate) fn heard(made: &Made) -> Heard {
    let mut listener = Listener::new(made.sample_rate);
    for piece in made.samples.chunks(5000) {
        listener.hear(piece);
    }
    listener.finish()
}

/// Every row of the list, none vouched for.
pub(crate) fn unmarked(made: &Made) -> Vec<Mark> {
    made.taps
        .iter()
        .enumerate()
        .map(|(number, tap)| Mark {
            number: number as u32,
            place: Some(tap.place),
            known: None,
            time: None,
        })
        .collect()
}

/// Every row of the list, `good` of them vouched for: drawn among sound taps at least
/// `far` patch radii from a patch's middle and not on the border.
pub(crate) fn marks(made: &Made, recipe: &Recipe, good: usize, far: f64, seed: u64) -> Vec<Mark> {
    let mut marks = unmarked(made);
    let inner = |mark: &Mark| {
        let place = mark.place.unwrap();
        let (x, y) = (place.x / recipe.pitch, place.y / recipe.pitch);
        x > 1.0
            && y > 1.0
            && x < f64::from(recipe.columns) - 1.0
            && y < f64::from(recipe.rows) - 1.0
    };
    let candidates: Vec<usize> = (0..marks.len())
        .filter(|i| {
            !made.taps[*i].hollow
                && made.taps[*i].relative_radius.ratio() > far
                && inner(&marks[*i])
        })
        .collect();
    vouch(&mut marks, candidates, good, seed);
    marks
}

pub(crate) fn vouch(marks: &mut [Mark], mut candidates: Vec<usize>, good: usize, seed: u64) {
    let mut stream = Stream::new(Seed(seed), 9);
    for _ in 0..good {
        if !candidates.is_empty() {
            let pick = (stream.uniform() * candidates.len() as f64) as usize;
            marks[candidates.swap_remove(pick)].known = Some(Known::Sound);
        }
    }
}

/// Runs `one` for each seed on two threads, in order.
pub(crate) fn for_seeds<T: Send>(
    seeds: std::ops::Range<u64>,
    one: impl Fn(u64) -> T + Sync,
) -> Vec<T> {
    let middle = u64::midpoint(seeds.start, seeds.end);
    std::thread::scope(|scope| {
        let first = scope.spawn(|| (seeds.start..middle).map(&one).collect::<Vec<T>>());
        let second: Vec<T> = (middle..seeds.end).map(&one).collect();
        let mut all = first.join().unwrap();
        all.extend(second);
        all
    })
}

/// Pooled answers for taps that nobody vouched for.
#[derive(Default)]
pub(crate) struct Pool {
    pub(crate) probability: Vec<f64>,
    pub(crate) class: Vec<Class>,
    pub(crate) hollow: Vec<bool>,
    pub(crate) radius: Vec<f64>,
}

impl Pool {
    pub(crate) fn add(&mut self, sounding: &Sounding, made: &Made) {
        for (tap, truth) in sounding.taps.iter().zip(&made.taps) {
            if tap.known.is_none() {
                self.probability.push(tap.hollow.ratio());
                self.class.push(tap.class);
                self.hollow.push(truth.hollow);
                self.radius.push(truth.relative_radius.ratio());
            }
        }
    }

    /// Area under the receiver operating curve, ties by halves (Mann and Whitney).
    pub(crate) fn auc(&self) -> f64 {
        let mut order: Vec<usize> = (0..self.hollow.len()).collect();
        order.sort_by(|a, b| self.probability[*a].total_cmp(&self.probability[*b]));
        let (mut below, mut sum, mut hollow) = (0.0, 0.0, 0.0);
        let mut rest = order.as_slice();
        while let Some(first) = rest.first() {
            let tied = rest
                .iter()
                .take_while(|i| self.probability[**i] <= self.probability[*first])
                .count();
            let (now, later) = rest.split_at(tied);
            let loose = now.iter().filter(|i| self.hollow[**i]).count() as f64;
            let sound = tied as f64 - loose;
            sum += loose * (below + sound / 2.0);
            below += sound;
            hollow += loose;
            rest = later;
        }
        sum / (hollow * below)
    }

    /// Sensitivity and specificity; a doubtful answer is wrong.
    pub(crate) fn rates(&self) -> (f64, f64) {
        let share = |hollow: bool, right: Class| {
            let of: Vec<&Class> = self
                .class
                .iter()
                .zip(&self.hollow)
                .filter(|(_, h)| **h == hollow)
                .map(|(class, _)| class)
                .collect();
            of.iter().filter(|class| ***class == right).count() as f64 / of.len() as f64
        };
        (share(true, Class::Hollow), share(false, Class::Sound))
    }

    pub(crate) fn balanced(&self) -> f64 {
        let (sensitivity, specificity) = self.rates();
        (sensitivity + specificity) / 2.0
    }

    /// Sensitivity of taps within seven tenths of a patch's radius.
    pub(crate) fn well_inside(&self) -> f64 {
        let of: Vec<Class> = (0..self.class.len())
            .filter(|i| self.hollow[*i] && self.radius[*i] < 0.7)
            .map(|i| self.class[i])
            .collect();
        of.iter().filter(|class| **class == Class::Hollow).count() as f64 / of.len() as f64
    }

    /// Expected calibration error over ten bins, and the bins: mean said, share true, count.
    pub(crate) fn calibration(&self) -> (f64, Vec<(f64, f64, usize)>) {
        let mut bins = Vec::new();
        let mut error = 0.0;
        for bin in 0..10 {
            let of: Vec<usize> = (0..self.hollow.len())
                .filter(|i| ((self.probability[*i] * 10.0) as usize).min(9) == bin)
                .collect();
            if of.is_empty() {
                continue;
            }
            let count = of.len() as f64;
            let said = of.iter().map(|i| self.probability[*i]).sum::<f64>() / count;
            let came = of.iter().filter(|i| self.hollow[**i]).count() as f64 / count;
            error += (said - came).abs() * count / self.hollow.len() as f64;
            bins.push((said, came, of.len()));
        }
        (error, bins)
    }
}
