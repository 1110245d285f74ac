//! What a loose layer, a slab and a hammer do by theory: frequencies of plates in
//! bending, the thickness frequency of impact-echo, the band that a blow excites.
//!
//! Thin plates (thickness below a fifth of the span) of a uniform, isotropic
//! material. Deeper layers ring lower than these formulas say; a depth is never told
//! from a pitch.

use std::f64::consts::PI;

use tooth_measure::{Fraction, Frequency, Length, MassPerVolume, Speed, Stress, TimeSpan};

/// The material of a plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Modulus of elasticity.
    pub modulus: Stress,
    /// Density.
    pub density: MassPerVolume,
    /// Poisson's ratio.
    pub poisson: Fraction,
}

impl Material {
    /// Ordinary concrete: 30 GPa, 2400 kg/m³, 0.2 (common practice, no source).
    pub const CONCRETE: Self = Self {
        modulus: Stress::from_megapascals(30_000.0),
        density: MassPerVolume::from_kilograms_per_cubic_metre(2400.0),
        poisson: Fraction::new(0.2),
    };

    /// Speed of the compression wave in the bulk:
    /// `√(E(1−ν) / (ρ(1+ν)(1−2ν)))`.
    #[must_use]
    pub fn compression_wave_speed(self) -> Speed {
        let (e, rho, nu) = self.numbers();
        Speed::from_metres_per_second(
            (e * (1.0 - nu) / (rho * (1.0 + nu) * (1.0 - 2.0 * nu))).sqrt(),
        )
    }

    /// Pascals, kg/m³ and a ratio.
    fn numbers(self) -> (f64, f64, f64) {
        (
            self.modulus.megapascals() * 1e6,
            self.density.kilograms_per_cubic_metre(),
            self.poisson.ratio(),
        )
    }

    /// `√(D / (ρ h))` with `D = E h³ / (12(1−ν²))`, in m²/s.
    pub(crate) fn bending_speed(self, thickness: Length) -> f64 {
        let (e, rho, nu) = self.numbers();
        thickness.metres() * (e / (12.0 * rho * (1.0 - nu * nu))).sqrt()
    }
}

/// How the rim of a loose layer is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rim {
    /// Held against turning: a sound rim round a loose patch.
    Clamped,
    /// Free to turn: a cracked rim.
    SimplySupported,
}

/// Squared eigenvalue λ² of a round plate's first mode, by its rim.
///
/// Clamped: 10.2158 whatever Poisson's ratio. Simply supported: the lowest root of
/// `J₁(λ)/J₀(λ) + I₁(λ)/I₀(λ) = 2λ/(1−ν)`, solved here; 4.7826 at ν = 0.2 and 4.9351 at
/// ν = 0.3. (Leissa, Vibration of Plates, NASA SP-160, 1969, gives 10.2158 and 4.977 at
/// ν = 0.33: from memory.)
#[must_use]
fn first_eigenvalue_squared(rim: Rim, poisson: Fraction) -> f64 {
    let frequency_equation = |lambda: f64| match rim {
        Rim::Clamped => {
            bessel_j(0, lambda) * bessel_i(1, lambda) + bessel_i(0, lambda) * bessel_j(1, lambda)
        }
        Rim::SimplySupported => {
            let (j0, j1) = (bessel_j(0, lambda), bessel_j(1, lambda));
            let (i0, i1) = (bessel_i(0, lambda), bessel_i(1, lambda));
            j1 * i0 + i1 * j0 - 2.0 * lambda / (1.0 - poisson.ratio()) * j0 * i0
        }
    };
    // Both roots lie between 1.8 and 3.4 for every Poisson's ratio from 0 to 0.5.
    let (mut low, mut high) = (1.8, 3.4);
    let at_low = frequency_equation(low);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if (frequency_equation(middle) > 0.0) == (at_low > 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low * low
}

/// Bessel's `Jₙ` by its power series: short arguments only.
fn bessel_j(order: i32, x: f64) -> f64 {
    bessel_series(order, x, -1.0)
}

/// Modified Bessel `Iₙ` by its power series: short arguments only.
fn bessel_i(order: i32, x: f64) -> f64 {
    bessel_series(order, x, 1.0)
}

fn bessel_series(order: i32, x: f64, sign: f64) -> f64 {
    let half = x / 2.0;
    let mut term = (1..=order).fold(1.0, |value, k| value * half / f64::from(k));
    let mut sum = term;
    for k in 1..60 {
        term *= sign * half * half / (f64::from(k) * f64::from(k + order));
        sum += term;
    }
    sum
}

/// First frequency of a round loose layer: `λ²/(2π a²) · √(D/(ρ h))`.
#[must_use]
pub fn round_layer_frequency(
    material: Material,
    thickness: Length,
    radius: Length,
    rim: Rim,
) -> Frequency {
    let lambda_squared = first_eigenvalue_squared(rim, material.poisson);
    let radius = radius.metres();
    Frequency::from_hertz(
        lambda_squared / (2.0 * PI * radius * radius) * material.bending_speed(thickness),
    )
}

/// First frequency of a square loose layer of side L: `K/(2π L²) · √(D/(ρ h))`, K = 2π²
/// simply supported (exact), 35.99 clamped (from memory).
#[must_use]
pub fn square_layer_frequency(
    material: Material,
    thickness: Length,
    side: Length,
    rim: Rim,
) -> Frequency {
    let k = match rim {
        Rim::Clamped => 35.99,
        Rim::SimplySupported => 2.0 * PI * PI,
    };
    let side = side.metres();
    Frequency::from_hertz(k / (2.0 * PI * side * side) * material.bending_speed(thickness))
}

/// Thickness frequency of impact-echo: `0.96 Cp / (2T)` (ASTM C1383, the factor from
/// memory).
#[must_use]
pub fn thickness_frequency(compression_wave: Speed, thickness: Length) -> Frequency {
    Frequency::from_hertz(0.96 * compression_wave.metres_per_second() / (2.0 * thickness.metres()))
}

/// Contact time of a dropped steel ball: 0.0043 s per metre of its diameter (Hertz; the
/// constant from memory, for drops of about 0.2 m to 0.5 m).
#[must_use]
pub fn ball_contact_time(diameter: Length) -> TimeSpan {
    TimeSpan::from_seconds(0.0043 * diameter.metres())
}

/// Amplitude of a half-sine blow's spectrum against its value at 0 Hz:
/// `|cos(π f t)| / |1 − (2 f t)²|`.
#[must_use]
pub fn blow_spectrum(frequency: Frequency, contact: TimeSpan) -> Fraction {
    let product = frequency.hertz() * contact.seconds();
    let below = 1.0 - (2.0 * product).powi(2);
    // Both vanish at f t = 1/2; the limit there is π/4.
    Fraction::new(if below.abs() < 1e-9 { PI / 4.0 } else { ((PI * product).cos() / below).abs() })
}
