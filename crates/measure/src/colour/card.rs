//! The grey card: what is printed where. The sheet and the reader of pictures both take it
//! from here.
//!
//! Lengths are millimetres from the card's upper left corner, the outer tip of its black
//! angle. Each grey stands twice, at places opposite about the middle: turned half round, the
//! card is the same, and twins that differ tell of uneven light.

use crate::choice::choices;
use crate::quantity::Length;

choices! {
    /// A grey of the card, the lightest first.
    Grey {
        /// The paper itself.
        Paper = "paper";
        /// Light grey.
        Light = "light";
        /// Middle grey.
        Middle = "middle";
        /// Dark grey.
        Dark = "dark";
        /// Black.
        Black = "black";
    }
}

impl Grey {
    /// The number that is sent to the printer, 0 black to 255 white: the grey of sRGB with L\*
    /// 100, 75, 50, 25 and 0.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Paper => 255,
            Self::Light => 185,
            Self::Middle => 119,
            Self::Dark => 59,
            Self::Black => 0,
        }
    }
}

/// L\* of the printed greys, the paper's first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CardLightness([f64; 5]);

impl CardLightness {
    /// Office paper and what a printer makes of the greys between its white and its black.
    /// **An assumption**: printers and papers differ by several L\*.
    pub const ASSUMED: Self = Self([95.0, 76.0, 57.0, 39.0, 20.0]);

    /// From measured L\*, the paper's first; `None` unless each is darker than the one before by
    /// at least 3, all within 1 to 100.
    #[must_use]
    pub fn new(lightness: [f64; 5]) -> Option<Self> {
        let falls = lightness.windows(2).all(|pair| pair[0] - pair[1] >= 3.0);
        let within = lightness.iter().all(|l| (1.0..=100.0).contains(l));
        (falls && within).then_some(Self(lightness))
    }

    /// L\* of one.
    #[must_use]
    pub const fn of(&self, grey: Grey) -> f64 {
        self.0[grey as usize]
    }

    /// L\* of all, the paper's first.
    #[must_use]
    pub const fn all(&self) -> [f64; 5] {
        self.0
    }
}

/// A rectangle on the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// From the card's left side.
    pub left: Length,
    /// From its upper side.
    pub top: Length,
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
}

const fn rectangle(left: f64, top: f64, width: f64, height: f64) -> Rectangle {
    Rectangle {
        left: Length::from_millimetres(left),
        top: Length::from_millimetres(top),
        width: Length::from_millimetres(width),
        height: Length::from_millimetres(height),
    }
}

/// Width of the card, from tip to tip of its corner angles.
pub const WIDTH: Length = Length::from_millimetres(160.0);
/// Height of the card.
pub const HEIGHT: Length = Length::from_millimetres(100.0);
/// How long an arm of a corner angle is.
pub const ANGLE_ARM: Length = Length::from_millimetres(10.0);
/// How thick it is.
pub const ANGLE_THICKNESS: Length = Length::from_millimetres(2.0);
/// Where the sheet is cut, beyond the tips.
pub const CUT: Length = Length::from_millimetres(6.0);

/// The printed patches.
#[must_use]
pub fn patches() -> [(Grey, Rectangle); 8] {
    let upper = [Grey::Light, Grey::Dark, Grey::Middle, Grey::Black];
    [0, 1, 2, 3, 4, 5, 6, 7].map(|at: usize| {
        let (row, column) = (at / 4, at % 4);
        let grey = if row == 0 { upper[column] } else { upper[3 - column] };
        (grey, rectangle(16.0 + 33.0 * column as f64, 16.0 + 36.0 * row as f64, 29.0, 32.0))
    })
}

/// Fields of bare paper round the patches, clear of the corner angles.
#[must_use]
pub fn borders() -> [Rectangle; 12] {
    [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].map(|at: usize| match at {
        0..4 => rectangle(17.0 + 33.0 * at as f64, 4.5, 27.0, 8.0),
        4..8 => rectangle(17.0 + 33.0 * (at - 4) as f64, 87.5, 27.0, 8.0),
        8..10 => rectangle(4.5, 18.0 + 36.0 * (at - 8) as f64, 8.0, 28.0),
        _ => rectangle(147.5, 18.0 + 36.0 * (at - 10) as f64, 8.0, 28.0),
    })
}
