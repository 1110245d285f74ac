//! Where the concrete is the finish: what shows is named, and what it would cost that nothing does.
#![expect(clippy::unwrap_used, reason = "tests fail loudly")]

#[expect(dead_code, reason = "the other test crates use the rest")]
mod common;

use common::{RULE, feature, rectangle, room, told};
use tooth_job::assessment::assess;
use tooth_job::methods::built_in;
use tooth_job::plan::{Objective, Plan, Planned, plan_with_alternatives};
use tooth_job::quantities::quantities;
use tooth_job::stream::{Asked, work_out};
use tooth_job::survey::{
    Answer, Exposure, FilmCondition, FilmKind, FilmMaterial, JointKind, KeptTexture, Matter, Place,
    Seen, Setting, Survey, SystemClass,
};
use tooth_measure::{Length, Path, WorkTime};
use tooth_texture::Alone;

/// A room with a see-through finish, a worn sealer on so much of its ten metres.
fn sealed(metres: f64) -> Survey {
    let mut survey = room();
    let system = &mut survey.systems[0];
    system.class = SystemClass::Sealer;
    system.see_through = true;
    system.agreed_exposure = Some(Exposure::Fine);
    system.profile = None;
    let seen = Seen::Film {
        kind: FilmKind::Sealer,
        thickness: Some(Length::from_mils(2.0)),
        material: FilmMaterial::default(),
        condition: FilmCondition::Worn,
    };
    survey.features.push(feature("F1", Place::Patch(rectangle(0.0, 0.0, metres, 5.0)), seen));
    survey
}

fn planned(survey: &Survey) -> Plan {
    let assessed = assess(survey, RULE);
    let (catalogue, objective) = (built_in(), Objective::Cheapest);
    plan_with_alternatives(survey, &assessed, &catalogue, RULE, objective, &Alone)
}

/// Source: a stripped half takes a clear finish otherwise than the rest; wall to wall, to a joint,
/// or signed: common practice.
#[test]
fn what_is_stripped_in_part_is_priced_wall_to_wall_beside_it() {
    let part = planned(&sealed(4.0));
    let walls = part.alternatives.iter().find(|other| told(&other.name).contains("wall to wall"));
    let walls = walls.unwrap();
    assert!(walls.total_cost > part.total_cost);
    let said = told(&walls.trades);
    assert!(said.contains("no edge shows") && said.contains("more on the price"), "{said}");
    // It is the plan of a room that is sealed all over.
    let whole = planned(&sealed(10.0));
    assert_eq!(whole.zones[0].state, Planned::Planned);
    let apart = (walls.total_cost - whole.total_cost).amount().abs();
    assert!(apart < 0.01 * whole.total_cost.amount(), "{:?} {:?}", walls, whole.total_cost);
    assert!(whole.alternatives.iter().all(|other| !told(&other.name).contains("wall to wall")));
}

/// What is blown out sets nothing and takes no filler.
#[test]
fn joints_that_are_blown_out_wait_for_nothing_and_take_no_filler() {
    let mut survey = sealed(10.0);
    survey.facts.slab.setting = Setting::Outdoor;
    let path = Path::new(&[common::at(5.0, 0.0), common::at(5.0, 5.0)]).unwrap();
    let seen =
        Seen::Joint { kind: JointKind::Contraction, working: Answer::No, old_filler: Answer::No };
    survey.features.push(feature("J1", Place::Line(path), seen));
    let made = planned(&survey);
    let step = made.zones[0].steps.iter().find(|step| step.method == "blow_out_joints").unwrap();
    assert_eq!(step.wait_hours, WorkTime::ZERO);
    let bill = quantities(&survey, &made, &built_in(), RULE);
    let names: Vec<String> = bill.items.iter().map(|item| told(&item.item)).collect();
    assert!(names.iter().all(|name| !name.contains("filler")), "{names:?}");
}

/// Nobody pays for a locate first on a job that cuts nothing.
#[test]
fn a_locate_is_asked_for_last_where_nothing_is_cut() {
    let mut survey = sealed(10.0);
    survey.zones[0].kept = Some(KeptTexture::Broomed);
    survey.facts.locates.clear();
    survey.readings.clear();
    let worked = work_out(&survey, &built_in(), RULE, Asked::USUAL, &Alone);
    let asked: Vec<Matter> =
        worked.assessment.zones[0].unknown.iter().map(|gap| gap.code).collect();
    assert!(asked.len() > 1);
    assert_eq!(asked.last(), Some(&Matter::EmbeddedItems), "{asked:?}");
}
