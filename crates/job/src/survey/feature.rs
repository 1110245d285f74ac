//! What was seen on the slab, with its place on the plan.

use tooth_measure::choice::choices;
use tooth_measure::say::Said;
use tooth_measure::{Length, Outline, Path, Point, ProfileLevel};

use super::reading::Answer;
use super::{FeatureId, MethodId};

/// Where a feature lies.
#[derive(Debug, Clone, PartialEq)]
pub enum Place {
    /// A spot.
    Spot(Point),
    /// A line.
    Line(Path),
    /// A patch.
    Patch(Outline),
}

impl Place {
    /// Whether any of it lies in an outline.
    #[must_use]
    pub fn meets(&self, outline: &Outline) -> bool {
        match self {
            Self::Spot(point) => outline.holds(*point),
            Self::Line(path) => {
                let (inside, on) = path.length_in_and_on(outline);
                inside + on > Length::from_millimetres(1.0)
            }
            Self::Patch(patch) => {
                // A shared border is not an overlap.
                patch.shared_area(outline).square_metres() > 1e-6
            }
        }
    }

    /// A place for its label.
    #[must_use]
    pub fn label_place(&self) -> Point {
        match self {
            Self::Spot(point) => *point,
            Self::Line(path) => path.middle(),
            Self::Patch(patch) => patch.label_place(),
        }
    }
}

choices! {
    /// Kinds of joints.
    JointKind {
        /// Sawn or tooled to steer shrinkage cracks.
        Contraction = "contraction", also "control";
        /// Where one day's pour met the next.
        Construction = "construction";
        /// Against walls and columns.
        Isolation = "isolation";
        /// Open for movement.
        Expansion = "expansion";
        /// Unplanned stop of a pour.
        Cold = "cold";
    }
}
choices! {
    /// Whether a crack moves, by dated gauge readings.
    CrackMovement {
        /// It does not move.
        Dormant = "dormant";
        /// It moves.
        Active = "active";
        /// No gauge was read.
        Unknown = "unknown";
    }
}
choices! {
    /// Ways to treat a crack or joint.
    LineTreatment {
        /// Rout and fill rigidly: dormant cracks.
        RoutAndFill = "rout_and_fill";
        /// Rout and seal so that it can move: active cracks.
        RoutAndSeal = "rout_and_seal";
        /// Re-cut through the new layer and seal: working joints.
        RecutAndSeal = "recut_and_seal";
        /// Kept open beside a finish too thin to be cut, and sealed: working joints.
        HonourAndSeal = "honour_and_seal";
        /// Ground level: a low lip between panels.
        GrindLip = "grind_lip";
        /// Pinned across and filled: cracks that an engineer wants held together.
        Stitch = "stitch";
        /// Clean and fill semi-rigid: joints under traffic that no longer work.
        SemiRigidFill = "semi_rigid_fill";
        /// Blown out and left open.
        KeepClean = "keep_clean";
        /// Left as it is and shown: a person's decision.
        Leave = "leave";
    }
}
choices! {
    /// What a hollow sound turned out to be.
    HollowKind {
        /// A loose skin of the slab itself.
        LooseSkin = "loose_skin";
        /// An old layer that has let go.
        DebondedLayer = "debonded_layer";
        /// A curled edge, or lost support below.
        LostSupport = "lost_support";
        /// Nobody has opened a spot.
        Unknown = "unknown";
    }
}
choices! {
    /// How sure the ear was.
    Hollow {
        /// Surely hollow.
        Sure = "sure";
        /// Perhaps.
        Doubtful = "doubtful";
    }
}
choices! {
    /// Films that keep a system off the concrete.
    FilmKind {
        /// A sealer.
        Sealer = "sealer";
        /// A curing compound.
        CuringCompound = "curing_compound";
        /// Paint or coating.
        Coating = "coating";
        /// Adhesive of tile, carpet or vinyl.
        Adhesive = "adhesive";
        /// Nobody knows.
        Unknown = "unknown";
    }
}
choices! {
    /// How a film is where it lies.
    FilmCondition {
        /// It lies as it should.
        Sound = "sound";
        /// Milky: moisture or cold got into it while it dried.
        Hazy = "hazy";
        /// White, with air or water under it.
        White = "white";
        /// Scratched.
        Scratched = "scratched";
        /// Worn through in lanes.
        Worn = "worn";
        /// Coming off.
        Peeling = "peeling";
        /// Blistered.
        Blistered = "blistered";
        /// Lifted under tyres.
        TyreLifted = "tyre_lifted";
        /// Nobody looked.
        Unknown = "unknown";
    }
}

#[expect(clippy::derivable_impls, reason = "the list is made by a macro")]
impl Default for FilmCondition {
    fn default() -> Self {
        Self::Unknown
    }
}

impl FilmCondition {
    /// Whether it still holds to the slab, as far as it was looked at.
    #[must_use]
    pub const fn holds(self) -> bool {
        !matches!(self, Self::Peeling | Self::Blistered | Self::TyreLifted)
    }
}
choices! {
    /// A texture that the customer has paid for and keeps.
    KeptTexture {
        /// Stones that were exposed on purpose.
        ExposedAggregate = "exposed_aggregate";
        /// A stamped pattern.
        Stamped = "stamped";
        /// A broomed surface.
        Broomed = "broomed";
        /// The trowelled cream.
        Cream = "cream";
    }
}
choices! {
    /// What a see-through finish would show.
    GhostKind {
        /// Rows of glue.
        GlueRows = "glue_rows";
        /// The pattern of tiles that lay there.
        TilePattern = "tile_pattern";
        /// Lines and holes of carpet strips.
        CarpetLines = "carpet_lines";
        /// An old patch.
        OldPatch = "old_patch";
        /// Where stripping stopped.
        StripEdge = "strip_edge";
        /// Coloured chalk.
        ChalkLine = "chalk_line";
        /// Marker, crayon, layout ink.
        Marker = "marker";
        /// Primer, paint or plaster spots.
        PaintSpots = "paint_spots";
        /// Tyre marks.
        TyreMarks = "tyre_marks";
        /// Anything else.
        Other = "other";
    }
}
choices! {
    /// Small damage that comes in numbers and is mended by the piece.
    SmallDamage {
        /// Holes of carpet strips.
        TackStripHoles = "tack_strip_holes";
        /// Holes of nails, screws and anchors.
        NailHoles = "nail_holes";
        /// Cones that a swelling stone threw out.
        Popouts = "popouts";
    }
}
choices! {
    /// What has soaked into or come out of the concrete.
    Contaminant {
        /// Oil or grease.
        Oil = "oil";
        /// Rust of which nobody knows where it comes from.
        Rust = "rust";
        /// Rust that was left on the slab: tools, furniture, fertiliser, irrigation.
        RustLeftOn = "rust_left_on";
        /// Rust that comes out of the slab: bars, mesh, tie wire, iron in the stones.
        RustFromWithin = "rust_from_within";
        /// Salts carried out by water.
        Efflorescence = "efflorescence";
    }
}
choices! {
    /// Surface conditions that are a layer of their own.
    SurfaceState {
        /// Weak, milky skin of a wet finish.
        Laitance = "laitance";
        /// Powders under the hand.
        Dusting = "dusting";
        /// Burnished by the trowel.
        DenseTrowelled = "dense_trowelled";
        /// Mortar lost at the surface.
        Scaling = "scaling";
        /// Stones show: worn, ground or washed out.
        ExposedAggregate = "exposed_aggregate";
        /// Fine cracks in the skin, like a net, no deeper than it.
        Crazing = "crazing";
        /// Stamped or imprinted: a pattern in relief.
        Stamped = "stamped";
        /// Washed with acid at some time: bare, its lime used up near the surface.
        AcidWashed = "acid_washed";
    }
}
choices! {
    /// What lies in the slab.
    Embedded {
        /// Tubes or cables of floor heating.
        HeatingLoop = "heating_loop";
        /// A stressed tendon.
        Tendon = "tendon";
        /// Conduit.
        Conduit = "conduit";
        /// Unknown metal or void.
        Unknown = "unknown";
    }
}
choices! {
    /// How a finish took on a sample panel.
    Reaction {
        /// As it should.
        Even = "even";
        /// In places more, in places less.
        Uneven = "uneven";
        /// Not at all.
        None = "none";
    }
}
choices! {
    /// How a part of the slab was sounded.
    SoundingMethod {
        /// Dragged chain: finds.
        Chain = "chain";
        /// Hammer by ear: outlines.
        Hammer = "hammer";
        /// Taps on a grid.
        TapGrid = "tap_grid";
    }
}

/// Which material a film is, as far as samples are concerned.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FilmMaterial {
    /// Films of one name are one material: what was sampled of one counts for all. A film
    /// without a name is a material of its own.
    pub name: Option<String>,
    /// Whether an adhesive is black, as those on asphalt are.
    pub black: Answer,
}

/// A person's recorded word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// Who.
    pub by: String,
    /// When.
    pub on: jiff::civil::Date,
}

/// What was seen.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// A column, drain, machine base: not prepared, and edged round.
    Obstacle,
    /// A wall: machines cannot reach to it.
    Wall,
    /// A joint.
    Joint {
        /// Its kind.
        kind: JointKind,
        /// Whether it works; unknown counts as working.
        working: Answer,
        /// Whether old filler sits in it.
        old_filler: Answer,
    },
    /// A crack.
    Crack {
        /// Width at its widest.
        width: Length,
        /// Whether it moves.
        movement: CrackMovement,
        /// Who says so; without a name a crack is not known to be dormant.
        said: Option<Word>,
        /// Whether water comes through.
        leaking: Answer,
        /// Whether one side stands higher.
        displaced: Answer,
    },
    /// Cracks in a map or pattern.
    PatternCracking {
        /// Aggregate moist or rimmed where it shows.
        moist_aggregate: Answer,
        /// Dark or white deposit, gel, in or round the cracks.
        deposit: Answer,
    },
    /// A panel that has sunk, heaved or rocks.
    Settlement {
        /// Height between its panels.
        offset: Length,
    },
    /// A broken-out place.
    Spall {
        /// Depth at its deepest.
        depth: Length,
        /// Whether reinforcement shows.
        bars_exposed: Answer,
    },
    /// A place that sounds hollow.
    Hollow {
        /// How sure the ear was.
        sure: Hollow,
        /// What it turned out to be.
        kind: HollowKind,
        /// Depth of the loose layer, from an opened spot.
        depth: Option<Length>,
    },
    /// The extent of a sounding survey.
    Sounded {
        /// How.
        method: SoundingMethod,
    },
    /// A film.
    Film {
        /// Of what.
        kind: FilmKind,
        /// How thick.
        thickness: Option<Length>,
        /// Which material it is.
        material: FilmMaterial,
        /// How it is.
        condition: FilmCondition,
    },
    /// A stain or contaminant.
    Stain {
        /// Of what.
        kind: Contaminant,
        /// How deep it has gone.
        depth: Option<Length>,
    },
    /// A surface condition.
    Surface {
        /// Which.
        state: SurfaceState,
        /// Depth of the weak or lost layer.
        depth: Option<Length>,
    },
    /// A place that holds water.
    LowSpot {
        /// Deepest.
        depth: Length,
    },
    /// A mark that a see-through finish would show.
    Ghost {
        /// Of what kind.
        kind: GhostKind,
        /// What somebody wrote of it; empty where nobody did.
        of: String,
    },
    /// Small damage, counted.
    Small {
        /// Of which kind.
        kind: SmallDamage,
        /// How many.
        count: u32,
    },
    /// Something in the slab.
    Embedded {
        /// What.
        item: Embedded,
        /// Whether its place is known from a locate.
        located: Answer,
        /// Concrete over it, as the locate read it.
        cover: Option<Length>,
    },
    /// A trial panel on this slab.
    SamplePanel {
        /// Who approved it, if somebody has.
        approved_by: Option<String>,
        /// What it was prepared with.
        method: Option<MethodId>,
        /// The profile that came out.
        profile: Option<ProfileLevel>,
        /// How the finish took on it.
        reaction: Option<Reaction>,
    },
    /// A photograph.
    Photo {
        /// File name in `photos/`.
        file: String,
        /// Light and state of the surface: dry, wet, sealed.
        light: String,
    },
}

/// A thing on the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    /// Unique in the job.
    pub id: FeatureId,
    /// Where.
    pub place: Place,
    /// What.
    pub seen: Seen,
    /// What somebody wrote beside it.
    pub note: Said,
}

impl Feature {
    /// Whether it is a film that may hold lead or asbestos.
    #[must_use]
    pub fn is_old_film(&self) -> bool {
        matches!(
            self.seen,
            Seen::Film { kind: FilmKind::Coating | FilmKind::Adhesive | FilmKind::Unknown, .. }
        )
    }
}

impl Seen {
    /// The kind's word in `plan.geojson`.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Obstacle => "obstacle",
            Self::Wall => "wall",
            Self::Joint { .. } => "joint",
            Self::Crack { .. } => "crack",
            Self::PatternCracking { .. } => "pattern_cracking",
            Self::Settlement { .. } => "settlement",
            Self::Spall { .. } => "spall",
            Self::Hollow { .. } => "hollow",
            Self::Sounded { .. } => "sounded",
            Self::Film { .. } => "film",
            Self::Stain { .. } => "stain",
            Self::Surface { .. } => "surface",
            Self::LowSpot { .. } => "low_spot",
            Self::Ghost { .. } => "ghost",
            Self::Small { .. } => "small_damage",
            Self::Embedded { .. } => "embedded",
            Self::SamplePanel { .. } => "sample_panel",
            Self::Photo { .. } => "photo",
        }
    }
}
