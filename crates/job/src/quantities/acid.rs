//! Acid and neutraliser by stoichiometry.
//!
//! Commercial hydrochloric acid 31.45 % by mass, 1.16 kg/L: 10.007 mol/L. Mixed
//! 1 : 4 by volume with water (volumes assumed to add): 2.001 mol/L. Sodium
//! bicarbonate takes up 1 mol of acid with 84.006 g.

use tooth_measure::say::{Said, said};
use tooth_measure::{Certainty, Fraction, Mass, Source, Volume};

use super::Amount;

/// Moles of acid in a litre of commercial hydrochloric acid, 31.45 % at 1.16 kg/L.
const CONCENTRATE: f64 = 1160.0 * 0.3145 / 36.458;
/// Grams of sodium bicarbonate for a mole of acid.
const BICARBONATE: f64 = 84.006;
/// Share of the acid that the concrete leaves unspent. Assumption.
const UNSPENT: Fraction = Fraction::new(0.1);

/// A mix of acid and water by volume: 1 part acid to so many parts water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AcidMix {
    /// Parts of water to one of commercial acid.
    pub water_parts: f64,
}

/// What a mix needs to be neutralised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NeutraliserNeed {
    /// Commercial acid in the mix.
    pub acid: Volume,
    /// Water in the mix.
    pub water: Volume,
    /// Sodium bicarbonate if the concrete took up nothing.
    pub bicarbonate_for_all: Mass,
    /// Sodium bicarbonate for the share left unspent.
    pub bicarbonate_for_unspent: Mass,
}

impl AcidMix {
    /// The usual mix for an etch of dense concrete. Practice, of middling sureness.
    pub const USUAL: Self = Self { water_parts: 4.0 };

    /// Acid, water and neutraliser of a volume of the mix.
    #[must_use]
    pub fn need(self, volume: Volume, unspent: Fraction) -> NeutraliserNeed {
        let acid = volume / (1.0 + self.water_parts);
        let all = Mass::from_grams(acid.litres() * CONCENTRATE * BICARBONATE);
        NeutraliserNeed {
            acid,
            water: volume - acid,
            bicarbonate_for_all: all,
            bicarbonate_for_unspent: all * unspent,
        }
    }
}

pub(super) fn items(volume: Volume, mut add: impl FnMut(Said, Amount, Said, Source)) {
    let need = AcidMix::USUAL.need(volume, UNSPENT);
    let mix = Source::new("title-1-4-by-volume-public-trade-texts", Certainty::CommonPractice);
    let chemistry =
        Source::new("title-hcl-nahco3-nacl-h2o-co2-84-006-g-a-mole", Certainty::Computed);
    add(
        said!("hydrochloric-acid-31"),
        Amount::VolumeM3(need.acid),
        said!("a-fifth-of-the-mix-1-4"),
        mix,
    );
    add(
        said!("water-for-the-mix"),
        Amount::VolumeM3(need.water),
        said!("four-fifths-of-the-mix"),
        mix,
    );
    add(
        said!("sodium-bicarbonate-to-hold-ready"),
        Amount::MassKg(need.bicarbonate_for_all),
        said!("for-all-acid-of-the-mix-10"),
        chemistry,
    );
    add(
        said!("sodium-bicarbonate-likely-used"),
        Amount::MassKg(need.bicarbonate_for_unspent),
        said!("for-the-tenth-left-unspent-assumption"),
        Source::new("title-a-tenth-left-unspent", Certainty::Assumption),
    );
}
