//! What a finding is about.

use tooth_measure::choice::choices;

choices! {
    /// What findings and questions are about, in the order of the gates.
    Matter {
        /// What people say differently.
        Unsettled = "unsettled";
        /// A reading that looks unlikely.
        Plausibility = "plausibility";
        /// What carries the slab.
        Structure = "structure";
        /// What lies in the slab.
        EmbeddedItems = "embedded_items";
        /// Lead or asbestos in old films.
        OldCoating = "old_coating";
        /// Concrete that fails from inside.
        DeteriorationFromInside = "deterioration_from_inside";
        /// Panels that stand apart.
        Settlement = "settlement";
        /// Cracks.
        Cracks = "cracks";
        /// Joints.
        Joints = "joints";
        /// Hollow places.
        HollowConcrete = "hollow_concrete";
        /// Broken-out places.
        Spalls = "spalls";
        /// How much is to be repaired.
        RepairShare = "repair_share";
        /// Mortar lost at the surface.
        Scaling = "scaling";
        /// A film on the slab.
        Film = "film";
        /// A film that stays and is coated again.
        FilmKept = "film_kept";
        /// What an old coating is.
        CoatingIdentity = "coating_identity";
        /// A closed, hard-trowelled surface.
        DenseSurface = "dense_surface";
        /// Oil in the slab.
        Oil = "oil";
        /// Rust.
        Rust = "rust";
        /// Salts.
        Efflorescence = "efflorescence";
        /// Lime within reach of a stain that reacts.
        Lime = "lime";
        /// A weak skin.
        WeakLayer = "weak_layer";
        /// Aggregate that shows.
        ExposedAggregate = "exposed_aggregate";
        /// Crazing.
        Crazing = "crazing";
        /// Hardness.
        ScratchHardness = "scratch_hardness";
        /// Carbonation.
        Carbonation = "carbonation";
        /// Chloride.
        Chloride = "chloride";
        /// Strength of the slab at its surface.
        PullOffStrength = "pull_off_strength";
        /// Strength after preparation.
        PullOffRetest = "pull_off_retest";
        /// Age of the concrete.
        Age = "age";
        /// Moisture in the slab.
        Moisture = "moisture";
        /// pH of the surface.
        SurfacePh = "surface_ph";
        /// A texture that stays.
        Texture = "texture";
        /// Profile by chips.
        Profile = "profile";
        /// Profile by scan.
        ProfileScan = "profile_scan";
        /// Low spots and falls.
        LowSpots = "low_spots";
        /// Small damage, counted.
        SmallDamage = "small_damage";
        /// Damage that a change order speaks of.
        HiddenDamage = "hidden_damage";
        /// Whether the sheet says enough.
        ProductFit = "product_fit";
        /// Air and surface on the day.
        Climate = "climate";
        /// How evenly the slab drinks.
        Evenness = "evenness";
        /// What a see-through finish shows.
        SeeThrough = "see_through";
        /// The sample panel.
        SamplePanel = "sample_panel";
    }
}

impl Matter {
    /// Whether its tests are asked for once for a lot of areas that are alike.
    #[must_use]
    pub const fn is_of_the_lot(self) -> bool {
        matches!(
            self,
            Self::Film
                | Self::PullOffStrength
                | Self::PullOffRetest
                | Self::Moisture
                | Self::Lime
                | Self::Evenness
                | Self::SurfacePh
                | Self::Profile
                | Self::SamplePanel
        )
    }

    /// Whether tests and signatures settle it, never a person's word.
    #[must_use]
    pub const fn is_settled_by_tests(self) -> bool {
        matches!(self, Self::OldCoating | Self::EmbeddedItems)
    }
}
