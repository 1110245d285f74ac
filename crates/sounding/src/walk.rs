//! Places of taps walked over a grid without a list.

use tooth_measure::{Length, Point};

/// A walked grid: from a first tap along rows, turning at each end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Walk {
    /// First tap.
    pub start: Point,
    /// Along which axis the first row goes.
    pub along: Along,
    /// Distance between taps, along and between rows.
    pub pitch: Length,
    /// Taps in a row.
    pub per_row: u32,
    /// What happens at the end of a row.
    pub turn: Turn,
    /// To which side the next row lies.
    pub side: Side,
}

/// Direction of the first row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// Towards larger x.
    Right,
    /// Towards smaller x.
    Left,
    /// Towards larger y.
    Up,
    /// Towards smaller y.
    Down,
}

/// What the walker does at the end of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Turns about and walks the next row back.
    BackAndForth,
    /// Goes back and walks every row the same way.
    SameWay,
}

/// Side of the next row, seen along the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// To the left hand.
    Left,
    /// To the right hand.
    Right,
}

impl Walk {
    /// Place of the tap with this number, counted from 0.
    #[must_use]
    pub fn place(&self, number: u32) -> Point {
        let per_row = self.per_row.max(1);
        let (row, step) = (number / per_row, number % per_row);
        let step =
            if self.turn == Turn::BackAndForth && row % 2 == 1 { per_row - 1 - step } else { step };
        let (ahead_x, ahead_y) = match self.along {
            Along::Right => (1.0, 0.0),
            Along::Left => (-1.0, 0.0),
            Along::Up => (0.0, 1.0),
            Along::Down => (0.0, -1.0),
        };
        let hand = if self.side == Side::Left { 1.0 } else { -1.0 };
        let (aside_x, aside_y) = (-ahead_y * hand, ahead_x * hand);
        let (step, row) = (f64::from(step), f64::from(row));
        Point::new(
            self.start.x + self.pitch * (ahead_x * step + aside_x * row),
            self.start.y + self.pitch * (ahead_y * step + aside_y * row),
        )
    }
}
