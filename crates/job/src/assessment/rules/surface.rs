//! What lies on, in and just below the surface: films, oil, rust, salts, weak skin,
//! profile, low spots.

use tooth_measure::chance::Seed;
use tooth_measure::choice::Choice as _;
use tooth_measure::say::{
    Argument, Joint, Said, both, decimal, detail, film_thickness, listed, names, on_plan, own,
    said, seconds,
};
use tooth_measure::{
    Area, Certainty, Fraction, Length, ProfileLevel, ProfileRange, Quantity as _, Source,
};
use tooth_texture::calibration::{Grade, Level};
use tooth_texture::{Strip, patches_needed, stratified_places};

use crate::assessment::counts::FieldTest;
use crate::assessment::finding::{
    Ask, Evidence, FindingState, JobFact, Outcome, SettingOf, before_work, deciding, found,
};
use crate::assessment::look::{
    KeptState, Look, PLACES_OF_THE_KNIFE, of_feature, of_reading, of_readings,
};
use crate::assessment::{BetweenMarks, Drops};
use crate::extent::{FillBasis, is_weak_layer, oil_came_back};
use crate::survey::{
    Answer, Asked, Contaminant, Exposure, Feature, FilmKind, FilmWay, Fizz, KeptTexture, KnifeTest,
    Matter, Measured, Place, Reading, Seen, SolventRub, SurfaceScan, SurfaceState,
};

/// Films, by what was seen and by water and acid drops together.
pub(crate) fn film(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Film;
    let mut said = Vec::new();
    let films = look.stripped_films();
    if !films.is_empty() {
        let area = look.all_stripped_ground().area();
        let drawn = |kind: &FilmKind| {
            films.iter().any(|f| matches!(f.seen, Seen::Film { kind: of, .. } if of == *kind))
        };
        let kinds = FilmKind::ALL.iter().copied().filter(drawn);
        let mut gauges = look.readings(|m| match m {
            Measured::FilmThickness(thickness) => Some(*thickness),
            _ => None,
        });
        gauges.retain(|(gauge, _)| films.iter().any(|film| look.survey.speaks_of(gauge, film)));
        let mut evidence: Vec<Evidence> = films.iter().map(|film| of_feature(film)).collect();
        evidence.extend(of_readings(&gauges));
        let told = found(
            CODE,
            FindingState::Prepare,
            said!(
                "on-it-comes-off-before-the-profile",
                kinds = listed(Joint::Comma, kinds),
                area = both(area)
            ),
            evidence,
            Source::new("title-astm-d4260-88-5-2-and-5-3-clean-d4258-then-abrade", Certainty::Seen),
        );
        let measured =
            films.iter().any(|f| matches!(f.seen, Seen::Film { thickness: Some(_), .. }));
        let limit = look.limits().thin_film.value;
        said.push(if measured {
            told.by_setting(SettingOf::Limits, "thin_film", both(film_thickness(limit)))
        } else {
            told
        });
    }
    let drops = look.drops();
    let measured = look.measured_and_not_drawn();
    let kept = look.features().any(|film| look.stays(film));
    let undrawn = films.is_empty() && !kept && measured.is_empty();
    if !measured.is_empty() {
        said.push(found(
            CODE,
            FindingState::Prepare,
            said!("a-film-was-measured-and-not-drawn"),
            of_readings(&measured),
            Source::COMMON_PRACTICE,
        ));
    }
    // What stays is not looked below.
    if drops.missing > 0 && !look.kept_all_over() {
        let known = look.extent.area_of(|seen| matches!(seen, Seen::Film { .. }));
        let test = said!("water-drops-spread-over-the-area-timed");
        // Where a film lies on all of it, drops are for the surface below it.
        if known >= look.nearly_all() {
            let what = said!("whether-the-surface-below-the-film");
            said.push(before_work(CODE, what, test, drops.missing));
        } else {
            let what = said!("whether-a-film-keeps-water-out");
            said.push(deciding(CODE, what, test, drops.missing).about(Ask::Film));
        }
    }
    said.extend(by_drops(look, &drops, undrawn));
    said
}

/// Films that somebody decided to keep: what tests say of that, and what comes before it.
pub(crate) fn film_kept(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::FilmKept;
    let mut said = Vec::new();
    for film in look.features() {
        let Some(kept) = look.kept_film(film) else { continue };
        let mut evidence = vec![of_feature(film)];
        evidence.extend(kept.readings.iter().map(|reading| of_reading(reading)));
        let by = &kept.decided.by;
        let (state, reason) = match (kept.state, kept.decided.way) {
            (KeptState::LetsGo, _) => {
                (FindingState::Decide, said!("kept-film-lets-go", mark = &film.id, by = by))
            }
            (KeptState::LetsGoInPart, _) => (
                FindingState::Hold,
                said!(
                    "kept-film-lets-go-in-part",
                    mark = &film.id,
                    by = by,
                    area = both(kept.loose.area()),
                    rest = both(look.kept_ground(film).area())
                ),
            ),
            (KeptState::LetsGoSomewhere, _) => (
                FindingState::Prepare,
                said!("kept-film-lets-go-somewhere", mark = &film.id, by = by),
            ),
            (KeptState::DoesNotSoften, _) => {
                (FindingState::Decide, said!("kept-film-does-not-soften", mark = &film.id, by = by))
            }
            (KeptState::OverWater, _) => (
                FindingState::Decide,
                said!("water-and-salts-come-first", mark = &film.id, by = by),
            ),
            (KeptState::NotTried, _) => {
                (FindingState::Prepare, said!("film-is-to-stay", mark = &film.id, by = by))
            }
            (_, FilmWay::RecoatOver) => {
                (FindingState::Prepare, said!("film-is-recoated-over", mark = &film.id, by = by))
            }
            (_, FilmWay::RewetAndRecoat) => {
                (FindingState::Prepare, said!("film-is-rewetted", mark = &film.id, by = by))
            }
        };
        said.push(found(CODE, state, reason, evidence, Source::COMMON_PRACTICE));
        if kept.state == KeptState::NotTried {
            said.push(deciding(
                CODE,
                said!("whether-the-film-holds", mark = &film.id),
                match kept.decided.way {
                    FilmWay::RecoatOver => said!("knife-at-three-places"),
                    FilmWay::RewetAndRecoat => said!("knife-and-rag-with-its-solvent"),
                },
                kept.missing,
            ));
        }
        let round = said!("cut-round-it-until-it-holds");
        match kept.state {
            KeptState::LetsGoInPart => {
                let what = said!("how-far-the-film-has-let-go", mark = &film.id);
                said.push(before_work(CODE, what, round, PLACES_OF_THE_KNIFE));
            }
            KeptState::LetsGoSomewhere => {
                let what = said!("where-the-film-has-let-go", mark = &film.id);
                said.push(deciding(CODE, what, round, PLACES_OF_THE_KNIFE));
            }
            _ => {}
        }
    }
    said
}

/// A texture that the customer keeps: what that leaves, and what the sheet says against it.
pub(crate) fn texture(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Texture;
    let Some(kept) = look.zone.kept else { return Vec::new() };
    let system = look.system;
    let asks = match (system.profile, system.mechanical_preparation) {
        // Trowelled cream is the smoothest there is, and some sheets are content with that.
        (Some(range), Answer::No | Answer::Unknown)
            if kept == KeptTexture::Cream && range.holds(ProfileLevel::SMOOTHEST) =>
        {
            None
        }
        (Some(range), _) => Some(said!("the-sheet-asks-a-profile", range = range)),
        (None, Answer::Yes) => Some(said!("the-sheet-asks-a-tool")),
        (None, _) => None,
    };
    let evidence = vec![Evidence::Job(JobFact::TextureStays)];
    let mut said = vec![match asks {
        Some(asks) => found(
            CODE,
            FindingState::Decide,
            said!("texture-stays-against-the-sheet", texture = kept, asks = asks),
            evidence,
            Source::DATA_SHEET,
        ),
        None => found(
            CODE,
            FindingState::Fine,
            said!("texture-stays", texture = kept),
            evidence,
            Source::COMMON_PRACTICE,
        ),
    }];
    let weak: Vec<&Feature> =
        look.features().filter(|f| is_weak_layer(&f.seen) && !look.is_rubbed_off(f)).collect();
    if !weak.is_empty() {
        said.push(found(
            CODE,
            FindingState::Hold,
            said!("weak-and-the-texture-stays", marks = names(weak.iter().map(|f| &f.id))),
            weak.iter().map(|mark| of_feature(mark)).collect(),
            Source::COMMON_PRACTICE,
        ));
    }
    said
}

/// What drops say of the ground between the marks; none where they say nothing more.
fn by_drops(look: &Look<'_>, drops: &Drops<'_>, undrawn: bool) -> Option<Outcome> {
    const CODE: Matter = Matter::Film;
    let drop_source = Source::new("title-astm-f3191-a-drop-absorbed-within-60", Certainty::Seen);
    let acid_source = Source::new("title-no-fizz-of-a-drop-of-dilute-acid-film", Certainty::Seen);
    let usual = look.limits().absorbed_within;
    let (of, name, limit) = match look.system.absorbs_within {
        Some(within) => (SettingOf::System, "absorbs_within", within),
        None => (SettingOf::Limits, "absorbed_within", usual.value),
    };
    let timed = |said: Outcome| said.by_setting(of, name, seconds(limit));
    let mut evidence = of_readings(&drops.water);
    evidence.extend(of_readings(&drops.acid));
    let lead = said!(
        "of-water-drops-did-not-soak",
        beading = drops.beading,
        count = drops.water.len(),
        within = decimal(limit.seconds(), 0),
        where_ = match drops.verdict {
            BetweenMarks::Film | BetweenMarks::Dense | BetweenMarks::FilmOrDense => {
                on_a_part(look)
            }
            _ => Said::nothing(),
        }
    );
    Some(match drops.verdict {
        BetweenMarks::WithoutLime
            if !look.system.needs_lime
                && look.measured_and_not_drawn().is_empty()
                && look.unmarked_share().ratio() > 0.0 =>
        {
            deciding(
                CODE,
                said!("why-water-soaks-in-and-acid-does"),
                said!("drop-acid-again-on-a-scratched-spot"),
                3,
            )
        }
        BetweenMarks::Bare if undrawn => timed(found(
            CODE,
            FindingState::Fine,
            said!("every-water-drop-darkened-the-concrete"),
            evidence,
            match of {
                SettingOf::Limits => usual.source_of_rule(drop_source),
                SettingOf::System => drop_source,
            },
        )),
        BetweenMarks::Bare | BetweenMarks::WithoutLime | BetweenMarks::Untested => return None,
        BetweenMarks::Film => {
            let silent = drops.acid_that(Fizz::None);
            timed(found(
                CODE,
                FindingState::Prepare,
                said!("and-acid-drop-did-not-fizz-film", lead = lead, silent = silent),
                evidence,
                acid_source,
            ))
        }
        BetweenMarks::Dense => {
            let strong = drops.acid_that(Fizz::Strong);
            timed(found(
                Matter::DenseSurface,
                FindingState::Prepare,
                said!("yet-acid-fizzed-at-places-bare-but", lead = lead, strong = strong),
                evidence,
                acid_source,
            ))
        }
        BetweenMarks::FilmOrDense => {
            let consent = if look.system.see_through {
                said!("in-a-hidden-place-with-the-owner")
            } else {
                Said::nothing()
            };
            deciding(
                CODE,
                said!("whether-a-film-or-a-dense-surface"),
                said!("acid-drops-beside-known-bare-concrete", consent = consent),
                drops.acid_missing(),
            )
            .about(Ask::FilmOrDense)
        }
    })
}

/// How much of the area drops that stood speak for, where that is not all of it.
fn on_a_part(look: &Look<'_>) -> Said {
    let area = look.beading_ground().area();
    if area >= look.extent.net * 0.999 {
        return Said::nothing();
    }
    said!("on-so-much-of-the-area", area = both(area), net = both(look.extent.net))
}

/// What a film is, by solvent and knife, and so which way off is quick.
pub(crate) fn coating_identity(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::CoatingIdentity;
    let (mut rubs, mut knives) = (look.rubs(), look.knives());
    // What was tried on a film that stays is told with it.
    if look.features().any(|film| look.stays(film)) {
        let stays = |reading: &Reading| {
            let mut films = look.features().filter(|f| matches!(f.seen, Seen::Film { .. }));
            films.all(|film| look.stays(film))
                || look
                    .features()
                    .any(|film| look.stays(film) && look.survey.speaks_of(reading, film))
        };
        rubs.retain(|(reading, _)| !stays(reading));
        knives.retain(|(reading, _)| !stays(reading));
    }
    if rubs.is_empty() && knives.is_empty() {
        let unknown = |f: &&Feature| {
            matches!(f.seen, Seen::Film { kind: FilmKind::Unknown | FilmKind::Coating, .. })
                && look.kept_film(f).is_none()
        };
        let films: Vec<_> = look.features().filter(unknown).map(|film| &film.id).collect();
        // Presume, sample, laboratory, then touch.
        let untouchable = super::hazards::old_coating(look).iter().any(|said| match said {
            Outcome::NotKnown(gap) => gap.decides,
            Outcome::Found(finding) => finding.state > FindingState::Prepare,
        });
        if films.is_empty() || untouchable {
            return Vec::new();
        }
        return vec![before_work(
            CODE,
            said!("what-film-is", films = names(films)),
            said!("solvent-rub-knife-and-thickness"),
            1,
        )];
    }
    let mut said: Vec<Said> = Vec::new();
    if rubs.iter().any(|(_, seen)| *seen == SolventRub::Softens) {
        said.push(said!("softens-under-solvent-a-stripper-takes"));
    }
    if rubs.iter().any(|(_, seen)| *seen == SolventRub::NoEffect) {
        said.push(said!("solvent-does-nothing-cross-linked"));
    }
    if knives.iter().any(|(_, seen)| *seen == KnifeTest::Peels) {
        said.push(said!("peels-in-strips-scrape-before-anything"));
    }
    if knives.iter().any(|(_, seen)| *seen == KnifeTest::Chips) {
        said.push(said!("chips-off-brittle-blasting-takes"));
    }
    if knives.iter().any(|(_, seen)| *seen == KnifeTest::Holds) {
        said.push(said!("holds-to-the-slab-no-proof"));
    }
    let mut evidence = of_readings(&rubs);
    evidence.extend(of_readings(&knives));
    vec![found(
        CODE,
        FindingState::Prepare,
        said!("sentence-of", said = listed(Joint::Semicolon, said)),
        evidence,
        Source::COMMON_PRACTICE,
    )]
}

/// Oil, how deep, and whether it comes back.
pub(crate) fn oil(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Oil;
    let mut said = Vec::new();
    let bleeding = look.readings(|m| match m {
        Measured::OilBleedBack(answer) => Some(*answer),
        _ => None,
    });
    for stain in look.features() {
        let Seen::Stain { kind: Contaminant::Oil, depth } = stain.seen else {
            continue;
        };
        let deep = depth
            .map_or_else(|| said!("depth-not-known"), |d| said!("so-deep", d = both(detail(d))));
        let covered = look.features().any(|film| match (&film.seen, &film.place, &stain.place) {
            (Seen::Film { .. }, Place::Patch(film), Place::Patch(stain)) => {
                film.shared_area(stain) > Area::from_square_metres(0.01)
            }
            _ => false,
        });
        let film =
            if covered { said!("the-film-over-it-comes-off-first") } else { Said::nothing() };
        let looks = bleeding.iter().filter(|(held, _)| look.survey.speaks_of(held, stain));
        let mut evidence = vec![of_feature(stain)];
        evidence.extend(looks.map(|(held, _)| of_reading(held)));
        let told = found(
            CODE,
            FindingState::Prepare,
            said!(
                "oil-cleaned-before-anything-abrasive",
                mark = &stain.id,
                deep = deep,
                film = film
            ),
            evidence,
            Source::new("title-astm-d4260-88-5-2-oil-and-grease-off-first-d4258", Certainty::Seen),
        );
        let limit = look.limits().surface_oil.value;
        said.push(match depth {
            Some(_) => told.by_setting(SettingOf::Limits, "surface_oil", both(detail(limit))),
            None => told,
        });
        if depth.is_none() {
            said.push(
                deciding(
                    CODE,
                    said!("how-deep-the-oil-at-has-gone", mark = &stain.id),
                    said!("chip-or-core-after-a-signed-locate"),
                    1,
                )
                .about(Ask::OilDepth(stain.id.clone())),
            );
        }
        let looked = bleeding.iter().any(|(reading, answer)| {
            *answer != Answer::Unknown && look.survey.speaks_of(reading, stain)
        });
        if !looked {
            said.push(
                deciding(
                    CODE,
                    said!("whether-oil-comes-back-at-after", mark = &stain.id),
                    said!("look-and-water-drop-24-h-after"),
                    1,
                )
                .about(Ask::OilBleedBack(stain.id.clone())),
            );
        }
    }
    // The last look at each mark decides, for finding, plan and acceptance.
    let came_back: Vec<&Feature> =
        look.features().filter(|mark| oil_came_back(look.survey, look.zone, mark)).collect();
    let (drawn, undrawn): (Vec<_>, Vec<_>) = bleeding
        .into_iter()
        .partition(|(reading, _)| look.features().any(|mark| look.survey.speaks_of(reading, mark)));
    if !came_back.is_empty() {
        let of = |(reading, _): &(&Reading, Answer)| {
            came_back.iter().any(|mark| look.survey.speaks_of(reading, mark))
        };
        let looks: Vec<_> = drawn.into_iter().filter(of).collect();
        said.push(found(
            CODE,
            FindingState::Repair,
            said!("oil-came-back-within-24-h"),
            of_readings(&looks),
            Source::COMMON_PRACTICE,
        ));
    }
    let undrawn: Vec<_> =
        undrawn.into_iter().filter(|(_, answer)| *answer == Answer::Yes).collect();
    if !undrawn.is_empty() {
        said.push(found(
            CODE,
            FindingState::Repair,
            said!("oil-came-back-where-no-oil"),
            of_readings(&undrawn),
            Source::COMMON_PRACTICE,
        ));
    }
    said
}

/// Rust and salts: signs of bars or water on the move.
pub(crate) fn rust_and_salts(look: &Look<'_>) -> Vec<Outcome> {
    let mut said = Vec::new();
    for stain in look.features() {
        match stain.seen {
            Seen::Stain {
                kind:
                    kind @ (Contaminant::Rust | Contaminant::RustLeftOn | Contaminant::RustFromWithin),
                ..
            } => said.extend(rust(look, stain, kind)),
            Seen::Stain { kind: Contaminant::Efflorescence, .. } => said.extend(salts(look, stain)),
            _ => {}
        }
    }
    said
}

/// Rust that was left on the slab comes off with a remover; rust from within comes back.
fn rust(look: &Look<'_>, stain: &Feature, kind: Contaminant) -> Vec<Outcome> {
    const CODE: Matter = Matter::Rust;
    let shows = match look.system.see_through {
        true => said!("it-will-show-through-the-finish"),
        false => Said::nothing(),
    };
    let usual = if look.system.see_through { FindingState::Hold } else { FindingState::Prepare };
    let (state, reason) = match kind {
        Contaminant::RustFromWithin => {
            (FindingState::Decide, said!("rust-from-within", mark = &stain.id))
        }
        Contaminant::RustLeftOn => (usual, said!("rust-left-on", mark = &stain.id, shows = shows)),
        _ => (usual, said!("rust-find-out-whether-it-was-left", mark = &stain.id, shows = shows)),
    };
    let say = |state, reason| {
        found(CODE, state, reason, vec![of_feature(stain)], Source::COMMON_PRACTICE)
    };
    let mut said = vec![say(state, reason)];
    if kind == Contaminant::Rust {
        said.push(before_work(
            CODE,
            said!("where-the-rust-comes-from", mark = &stain.id),
            said!("look-for-what-stood-there-and-for-steel"),
            1,
        ));
    }
    if look.lies_on_a_kept_film(stain) {
        said.push(say(FindingState::Hold, said!("rust-on-a-film-that-stays", mark = &stain.id)));
    }
    said
}

/// Salts come off; but what carried them out is measured, and they are looked at again, before
/// anything closes over them.
fn salts(look: &Look<'_>, stain: &Feature) -> Vec<Outcome> {
    const CODE: Matter = Matter::Efflorescence;
    let say = |state, reason| {
        found(CODE, state, reason, vec![of_feature(stain)], Source::COMMON_PRACTICE)
    };
    let mut said = vec![
        say(FindingState::Prepare, said!("salts-carried-out-by-water-brushing", mark = &stain.id)),
        say(FindingState::Hold, said!("salts-are-looked-at-again", mark = &stain.id)),
    ];
    let wet = look.readings(|m| match m {
        Measured::InSlabHumidity(_) | Measured::MoistureEmission(_) | Measured::PlasticSheet(_) => {
            Some(())
        }
        _ => None,
    });
    if wet.is_empty() {
        said.push(deciding(
            CODE,
            said!("how-much-water-brings-the-salts", mark = &stain.id),
            said!("sheets-or-probes-where-salts-lie", locate_first = look.locate_first()),
            PLACES_OF_A_SHEET,
        ));
    }
    said
}

/// Sheets or probes that tell how wet a slab is where salts came out. Common practice.
const PLACES_OF_A_SHEET: u32 = 3;

/// Laitance, dusting and burnished skin (scaling has a rule of its own).
pub(crate) fn weak_layer(look: &Look<'_>) -> Vec<Outcome> {
    let limit = look.limits().deepest_weak_layer;
    let mut said: Vec<Outcome> = look
        .features()
        .filter_map(|f| match f.seen {
            Seen::Surface { state: SurfaceState::DenseTrowelled, .. } => Some(found(
                Matter::DenseSurface,
                FindingState::Prepare,
                said!("dense-hard-trowelled-surface", mark = &f.id),
                vec![of_feature(f)],
                Source::COMMON_PRACTICE,
            )),
            Seen::Surface { state: SurfaceState::Scaling | SurfaceState::AcidWashed, .. } => None,
            Seen::Surface { depth: Some(depth), .. } if depth.exceeds(limit.value) => Some(
                found(
                    Matter::WeakLayer,
                    FindingState::Engineer,
                    said!(
                        "weak-deep-no-surface-preparation",
                        mark = &f.id,
                        depth = both(detail(depth))
                    ),
                    vec![of_feature(f)],
                    limit.source,
                )
                .by_setting(
                    SettingOf::Limits,
                    "deepest_weak_layer",
                    both(detail(limit.value)),
                ),
            ),
            Seen::Surface { state, depth } if is_weak_layer(&f.seen) => {
                let depth =
                    depth.map_or_else(|| said!("depth-not-known").into(), |d| both(detail(d)));
                Some(found(
                    Matter::WeakLayer,
                    FindingState::Prepare,
                    said!(
                        "removed-to-sound-concrete-then-tested",
                        mark = &f.id,
                        state = state,
                        depth = depth
                    ),
                    vec![of_feature(f)],
                    Source::new("title-aci-364-7t-weak-surface-layers-lower-bond", Certainty::Seen),
                ))
            }
            _ => None,
        })
        .collect();
    let mut weak = false;
    for feature in look.features() {
        let Seen::Surface { state, depth } = feature.seen else { continue };
        let skin = matches!(state, SurfaceState::Laitance | SurfaceState::Dusting);
        let scaled = state == SurfaceState::Scaling
            && depth.is_some_and(|depth| depth <= look.limits().medium_scaling.value);
        weak |= scaled || skin && depth.is_none_or(|depth| depth <= limit.value);
        if skin && depth.is_none() {
            said.push(
                deciding(
                    Matter::WeakLayer,
                    said!("how-deep-is-weak", mark = &feature.id),
                    said!("scratch-and-knife-to-sound-concrete"),
                    3,
                )
                .about(Ask::WeakDepth(feature.id.clone())),
            );
        }
    }
    let tested = look.system.least_pull_off_strength.is_some();
    let failed = super::strength::fails(look);
    if weak && tested && !failed {
        said.push(before_work(
            Matter::PullOffRetest,
            said!("the-pull-off-strength-after-the-weak"),
            super::strength::where_to_pull(look, said!("on-the-prepared-slab")),
            look.needed(FieldTest::PullOff),
        ));
    }
    said
}

/// Stones that show, and fine cracks in the skin: what a finish over them must bear.
pub(crate) fn worn_and_crazed(look: &Look<'_>) -> Vec<Outcome> {
    let system = look.system;
    let said = look.features().filter_map(|f| {
        let Seen::Surface { state, .. } = f.seen else { return None };
        let (code, state, follows) = match state {
            SurfaceState::ExposedAggregate if look.zone.kept.is_some() => {
                (Matter::ExposedAggregate, FindingState::Fine, said!("aggregate-shows-and-stays"))
            }
            SurfaceState::ExposedAggregate if system.see_through => {
                let agreed = system.agreed_exposure.unwrap_or(Exposure::Cream);
                if agreed >= Exposure::Coarse {
                    (
                        Matter::ExposedAggregate,
                        FindingState::Fine,
                        said!("aggregate-shows-as-agreed"),
                    )
                } else {
                    (
                        Matter::ExposedAggregate,
                        FindingState::Hold,
                        said!("aggregate-shows-already-more-than"),
                    )
                }
            }
            SurfaceState::ExposedAggregate => (
                Matter::ExposedAggregate,
                FindingState::Prepare,
                said!("aggregate-shows-loose-stones-come-off"),
            ),
            SurfaceState::Crazing if system.see_through => {
                (Matter::Crazing, FindingState::Hold, said!("crazing-will-show-through-the-finish"))
            }
            SurfaceState::Crazing if !system.thickness.exceeds(look.limits().thin_film.value) => {
                (Matter::Crazing, FindingState::Prepare, said!("crazing-which-a-thin-film-follows"))
            }
            SurfaceState::Crazing => {
                (Matter::Crazing, FindingState::Fine, said!("crazing-which-this-thickness-covers"))
            }
            _ => return None,
        };
        Some(found(
            code,
            state,
            said!("mark-follows", mark = &f.id, follows = follows),
            vec![of_feature(f)],
            Source::COMMON_PRACTICE,
        ))
    });
    said.collect()
}

/// The profile by eye and finger against the range asked for.
pub(crate) fn profile(look: &Look<'_>) -> Vec<Outcome> {
    const CODE: Matter = Matter::Profile;
    let asked_by = look.target().1;
    let (range, from_sheet) = look.system.profile_range();
    if look.zone.kept.is_some() || look.kept_all_over() {
        return Vec::new();
    }
    if asked_by == Asked::ByNobody {
        // What soaks in is not roughened by a range from memory.
        return vec![before_work(
            CODE,
            said!("the-profile-that-the-data-sheet-asks"),
            said!("read-the-system-sheet-it-may-ask-none"),
            1,
        )];
    }
    let source = if from_sheet {
        Source::DATA_SHEET
    } else {
        Source::new("title-icri-310-2r-2013-system-thickness-and-profile-ask", Certainty::Memory)
    };
    let mut said = Vec::new();
    if !from_sheet {
        // A range from memory drives no grinding: the sheet is asked before the bid.
        said.push(deciding(
            CODE,
            said!("the-profile-that-the-data-sheet-asks"),
            said!("read-the-system-sheet-the-guide-range"),
            1,
        ));
    }
    let mut ratings = look.readings(|m| match m {
        Measured::ChipRating(level) => Some(*level),
        _ => None,
    });
    // Chips on a mark rate the mark.
    ratings.retain(|(reading, _)| !look.on_a_mark(reading));
    let people: std::collections::BTreeSet<&str> =
        ratings.iter().map(|(r, _)| r.by.as_str()).collect();
    let missing = look.needed(FieldTest::ChipRating).saturating_sub(ratings.len() as u32);
    if missing > 0 || people.len() < 2 {
        // Without any rating it may be rougher than the sheet bears.
        let scanned =
            look.survey.scans_of(look.zone).any(|scan| matches!(scan.level, Level::Graded(_)));
        let open = ratings.is_empty() && from_sheet && !scanned;
        let ask = if open { deciding } else { before_work };
        said.push(
            ask(
                CODE,
                said!("the-profile"),
                said!("chip-ratings-at-three-places-by-two"),
                missing.max(1),
            )
            .about(Ask::Profile),
        );
    }
    let rated = median(ratings.iter().map(|(_, level)| *level).collect(), range);
    said.extend(scanned(look, range, rated));
    let Some(level) = rated else {
        return said;
    };
    let least = ratings.iter().map(|(_, l)| *l).min().unwrap_or(level);
    let most = ratings.iter().map(|(_, l)| *l).max().unwrap_or(level);
    if most.chip() - least.chip() > 2 {
        said.push(before_work(
            CODE,
            said!("why-the-chip-ratings-lie-so-far"),
            said!("rate-again-together-or-divide-the-area"),
            1,
        ));
    }
    let asked = if from_sheet { said!("asked-for") } else { said!("the-guide-range") };
    let (state, follows) = if range.holds(level) && look.opened_by_tool() {
        // An old floor that reads the right profile still gets opened.
        (FindingState::Prepare, said!("it-fits-and-is-opened"))
    } else if range.holds(level) {
        (FindingState::Fine, said!("it-fits"))
    } else if level < range.least() && !from_sheet {
        (FindingState::Prepare, said!("smoother-ask-the-data-sheet-before"))
    } else if level < range.least() {
        (FindingState::Prepare, said!("smoother-the-preparation-must-roughen"))
    } else if from_sheet {
        (FindingState::Decide, said!("rougher-it-shows-through-or-takes-more"))
    } else {
        // A range from memory decides nothing: the sheet must speak first.
        (FindingState::Prepare, said!("rougher-ask-the-data-sheet-before"))
    };
    said.push(found(
        CODE,
        state,
        said!(
            "by-rating",
            level = level,
            count = ratings.len(),
            range = range,
            asked = asked,
            follows = follows
        ),
        of_readings(&ratings),
        source,
    ));
    said
}

/// Chance of the asked range that settles it for a scan.
const LIKELY: f64 = 0.9;

/// The profile by scans on the user's own chips. Hand and eye decide where the specification
/// names no other way: scans stand beside them, and a disagreement is a question.
fn scanned(look: &Look<'_>, range: ProfileRange, rated: Option<ProfileLevel>) -> Vec<Outcome> {
    const CODE: Matter = Matter::ProfileScan;
    let source =
        Source::new("title-chances-learnt-on-chips-that-are-replicas", Certainty::Assumption);
    let mut said = Vec::new();
    let mut graded = Vec::new();
    for scan in look.survey.scans_of(look.zone) {
        match &scan.level {
            Level::Graded(grade) => graded.push((scan, *grade)),
            Level::NotCalibrated => said.push(before_work(
                CODE,
                said!("the-profile-level-of-scan-2", name = scan.name.as_str()),
                said!("scan-your-own-comparator-chips"),
                1,
            )),
            Level::NotGradable(why, _) => said.push(before_work(
                CODE,
                said!("the-profile-level-of-scan", name = scan.name.as_str(), why = why),
                said!("scan-again-with-a-finer-device"),
                1,
            )),
        }
    }
    let count = graded.len() as f64;
    if graded.is_empty() {
        return said;
    }
    let evidence = graded.iter().map(|(scan, _)| Evidence::Scan(scan.name.to_string())).collect();
    let mean = |of: &dyn Fn(&Grade) -> f64| graded.iter().map(|(_, g)| of(g)).sum::<f64>() / count;
    let inside = mean(&|grade| grade.chance_in(range.least(), range.most()).ratio());
    let below = match ProfileLevel::new(range.least().chip().saturating_sub(1)) {
        Some(under) => mean(&|grade| grade.chance_in(ProfileLevel::SMOOTHEST, under).ratio()),
        None => 0.0,
    };
    let least = graded.iter().map(|(_, g)| g.shortest_90[0]).min().unwrap_or(range.least());
    let most = graded.iter().map(|(_, g)| g.shortest_90[1]).max().unwrap_or(range.most());
    let (state, follows) = if inside >= LIKELY {
        (FindingState::Fine, said!("likely-as-asked"))
    } else if below > 0.5 {
        (FindingState::Prepare, said!("likely-smoother-the-preparation-must"))
    } else {
        (FindingState::Decide, said!("not-surely-as-asked-for-hand"))
    };
    let levels = if least == most {
        Argument::from(least)
    } else {
        said!("levels-from-to", least = least.chip(), most = most.chip()).into()
    };
    said.push(found(
        CODE,
        state,
        said!(
            "in-scan-nine-chances-in-ten-each",
            levels = levels.clone(),
            count = graded.len(),
            range = range,
            inside = decimal(inside * 100.0, 0),
            follows = follows
        ),
        evidence,
        source,
    ));
    said.extend(more_scans(look, &graded));
    if let Some(rated) = rated
        && !(least <= rated && rated <= most)
    {
        said.push(before_work(
            CODE,
            said!("why-hand-and-eye-say-and-scans", rated = rated, levels = levels),
            said!("rate-again-blind-at-the-scanned-places"),
            1,
        ));
    }
    said
}

/// Variation of Sq from place to place where fewer than three were scanned.
const VARIATION: Fraction = Fraction::new(0.25);
/// How well the mean of an area is to be known, and how surely.
const WITHIN: Fraction = Fraction::new(0.25);
const CONFIDENCE: Fraction = Fraction::new(0.9);
/// The band along walls, which other tools prepare.
const BAND: Length = Length::from_millimetres(300.0);

/// Scans that are still wanted for the mean texture of the area, and places for them drawn by
/// chance, the band along walls apart from the field.
fn more_scans(look: &Look<'_>, graded: &[(&SurfaceScan, Grade)]) -> Option<Outcome> {
    let heights: Vec<f64> = graded
        .iter()
        .map(|(scan, _)| scan.texture.areal.root_mean_square_height.millimetres())
        .collect();
    let count = heights.len() as f64;
    let mean = heights.iter().sum::<f64>() / count;
    let variance = heights.iter().map(|h| (h - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
    let variation =
        if graded.len() < 3 { VARIATION } else { Fraction::new(variance.sqrt() / mean) };
    let needed = patches_needed(variation, WITHIN, CONFIDENCE)? as usize;
    let missing = needed.saturating_sub(graded.len());
    if missing == 0 {
        return None;
    }
    let band = look.extent.edge_band_region(BAND);
    let strips = [Strip(look.extent.net_region().difference(&band)), Strip(band)];
    // The same places for the same area, whoever asks.
    let seed =
        look.zone.id.as_str().bytes().fold(0u64, |seed, byte| {
            seed.wrapping_mul(0x0100_0000_01b3).wrapping_add(u64::from(byte))
        });
    let places: Vec<Said> = stratified_places(&strips, missing, Seed(seed))
        .into_iter()
        .flatten()
        .map(|place| said!("place-on-plan", x = own(on_plan(place.x)), y = own(on_plan(place.y))))
        .collect();
    let count = places.len() as u32;
    Some(before_work(
        Matter::ProfileScan,
        said!("the-mean-texture-of-the-area"),
        said!("scan-there-too-places-drawn-by-chance", places = listed(Joint::Semicolon, places)),
        count,
    ))
}

/// The middle of the ratings; of two middles the one that lies farther from what is asked, the
/// lower where both do alike.
pub(crate) fn median(mut levels: Vec<ProfileLevel>, asked: ProfileRange) -> Option<ProfileLevel> {
    levels.sort_unstable();
    let lower = *levels.get(levels.len().saturating_sub(1) / 2)?;
    let upper = *levels.get(levels.len() / 2)?;
    Some(if asked.levels_off(upper) > asked.levels_off(lower) { upper } else { lower })
}

/// Places that hold water.
pub(crate) fn low_spots(look: &Look<'_>) -> Vec<Outcome> {
    let spots: Vec<_> =
        look.features().filter(|f| matches!(f.seen, Seen::LowSpot { .. })).collect();
    let falls = look.extent.fills.iter().filter(|fill| fill.basis == FillBasis::Fall);
    let mut falls: Vec<Outcome> = falls
        .map(|fill| {
            found(
                Matter::LowSpots,
                FindingState::Prepare,
                said!("to-fall-to-the-drain", area = both(fill.area), volume = both(fill.volume)),
                vec![Evidence::Job(JobFact::Drainage)],
                Source::COMMON_PRACTICE,
            )
        })
        .collect();
    let without = look.extent.without_heights;
    if without > look.extent.net * 0.01 {
        falls.push(before_work(
            Matter::LowSpots,
            said!("how-high-of-the-area-lies", without = both(without)),
            said!("heights-along-the-walls"),
            4,
        ));
    }
    if spots.is_empty() {
        return falls;
    }
    let of_spots = |basis| matches!(basis, FillBasis::Dish | FillBasis::Straightedge);
    let (area, volume) = look.extent.fill_by(of_spots);
    vec![found(
        Matter::LowSpots,
        FindingState::Prepare,
        said!(
            "low-spot-of-in-all-about",
            count = spots.len(),
            area = both(area),
            volume = both(volume)
        ),
        spots.into_iter().map(of_feature).collect(),
        Source::COMMON_PRACTICE,
    )]
}
