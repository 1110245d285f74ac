//! What benchmarks share: rooms to plan, and threads.

use tooth_job::methods::{FilmReach, OilReach};
use tooth_job::survey::{Answer, JointKind, Place, Seen, Survey};
use tooth_measure::{Outline, Path};
use tooth_texture::{Job, Workers};

use crate::common::{Trouble, add_zone, at, empty, feature, rectangle, walls};

/// Threads that take the parts in turn.
pub(crate) struct Threads(pub(crate) usize);

impl Workers for Threads {
    fn run<'a>(&self, jobs: Vec<Job<'a>>) {
        let mut hands: Vec<Vec<Job<'a>>> = (0..self.0).map(|_| Vec::new()).collect();
        for (number, job) in jobs.into_iter().enumerate() {
            hands[number % self.0].push(job);
        }
        std::thread::scope(|scope| {
            for jobs in hands {
                scope.spawn(move || jobs.into_iter().for_each(|job| job()));
            }
        });
    }
}

pub(crate) fn column(survey: &mut Survey, id: &str, x: f64, y: f64, radius: f64) {
    let corners: Vec<_> = (0..24)
        .map(|n| f64::from(n) * std::f64::consts::TAU / 24.0)
        .map(|a| at(x + radius * a.cos(), y + radius * a.sin()))
        .collect();
    let place = Place::Patch(Outline::new(&corners).unwrap());
    survey.features.push(feature(id, place, Seen::Obstacle));
}

pub(crate) fn joint(survey: &mut Survey, id: &str, x: f64, y: (f64, f64)) {
    let path = Path::new(&[at(x, y.0), at(x, y.1)]).unwrap();
    let seen =
        Seen::Joint { kind: JointKind::Contraction, working: Answer::Yes, old_filler: Answer::No };
    survey.features.push(feature(id, Place::Line(path), seen));
}

/// So many rooms in rows of twenty, each with walls, a column, a joint and troubles of its
/// own.
pub(crate) fn rooms(count: u32) -> Survey {
    let mut survey = empty();
    for number in 0..count {
        let name = format!("room-{number}");
        let (x, y) = (f64::from(number % 20) * 15.0, f64::from(number / 20) * 12.0);
        let (w, h) = (7.0 + f64::from(number % 5), 5.0 + f64::from(number % 4));
        add_zone(&mut survey, &name, rectangle(x, y, w, h));
        survey.features.push(walls(&format!("{name}-walls"), x, y, w, h));
        column(&mut survey, &format!("{name}-column"), x + w * 0.6, y + h * 0.4, 0.3);
        joint(&mut survey, &format!("{name}-joint"), x + w / 2.0, (y + 0.5, y + h - 0.5));
        let trouble = Trouble {
            share: 0.3 + 0.1 * f64::from(number % 6),
            film: [FilmReach::None, FilmReach::Thin, FilmReach::Thick][number as usize % 3],
            oil: [OilReach::None, OilReach::Surface][number as usize % 2],
            weak_tenths: (number % 4 * 5) as u16,
            dense: number % 3 == 1,
            hollow: true,
            chip: 2,
        };
        trouble.mark(&mut survey, &name, x, y, w, h);
    }
    survey
}
