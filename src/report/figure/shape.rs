//! Plain shapes: what every figure and page is drawn with, whether in a window, on paper or as a
//! picture.
//!
//! Lengths are points, x to the right and y downward. A figure is laid out for lettering of 13
//! points; whoever draws it smaller scales all of it.

use std::ops::{Add, Mul, Sub};

/// A place, or a way from one place to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f32,
    /// Downward.
    pub y: f32,
}

/// A place.
#[must_use]
pub const fn at(x: f32, y: f32) -> Point {
    Point { x, y }
}

impl Add for Point {
    type Output = Point;
    fn add(self, other: Point) -> Point {
        at(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Point;
    fn sub(self, other: Point) -> Point {
        at(self.x - other.x, self.y - other.y)
    }
}

impl Mul<Point> for f32 {
    type Output = Point;
    fn mul(self, point: Point) -> Point {
        at(self * point.x, self * point.y)
    }
}

impl Point {
    /// How long the way is.
    #[must_use]
    pub fn length(self) -> f32 {
        self.x.hypot(self.y)
    }

    /// The way turned clockwise.
    #[must_use]
    pub fn turned(self, degrees: f32) -> Point {
        let (sin, cos) = degrees.to_radians().sin_cos();
        at(cos * self.x - sin * self.y, sin * self.x + cos * self.y)
    }
}

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Its left and top.
    pub min: Point,
    /// Its right and foot.
    pub max: Point,
}

impl Area {
    /// From its left and top, so wide and high.
    #[must_use]
    pub fn sized(min: Point, width: f32, height: f32) -> Area {
        Area {
            min,
            max: min + at(width, height),
        }
    }

    /// About its middle.
    #[must_use]
    pub fn about(middle: Point, width: f32, height: f32) -> Area {
        Area::sized(middle - at(width / 2.0, height / 2.0), width, height)
    }

    /// How wide.
    #[must_use]
    pub fn width(&self) -> f32 {
        self.max.x - self.min.x
    }

    /// How high.
    #[must_use]
    pub fn height(&self) -> f32 {
        self.max.y - self.min.y
    }

    /// Whether there is anything of it.
    #[must_use]
    pub fn is_there(&self) -> bool {
        self.width() > 0.0 && self.height() > 0.0
    }

    /// The same elsewhere.
    #[must_use]
    pub fn moved(self, by: Point) -> Area {
        Area {
            min: self.min + by,
            max: self.max + by,
        }
    }

    /// Whether a height lies in it.
    #[must_use]
    pub fn spans(&self, y: f32) -> bool {
        self.min.y <= y && y <= self.max.y
    }

    fn corners(&self) -> Vec<Point> {
        vec![
            self.min,
            at(self.max.x, self.min.y),
            self.max,
            at(self.min.x, self.max.y),
        ]
    }
}

/// What something is drawn in; whoever draws knows the colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    /// Text.
    Text,
    /// Secondary text.
    Soft,
    /// Axes, borders, hatching.
    Quiet,
    /// Grid lines and rules.
    Hair,
    /// The accent.
    Accent,
    /// A pale accent, for bands.
    Band,
    /// The ground of a figure.
    Sheet,
    /// What asks for attention.
    Alert,
    /// The right ear or eye; never told from the left one by this alone.
    Right,
    /// The left ear or eye.
    Left,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// How broad.
    pub width: f32,
    /// In what.
    pub ink: Ink,
    /// How long dashes and the gaps between them are, if it is dashed.
    pub dashes: Option<[f32; 2]>,
}

impl Stroke {
    /// A whole line.
    #[must_use]
    pub fn new(width: f32, ink: Ink) -> Stroke {
        Stroke {
            width,
            ink,
            dashes: None,
        }
    }

    /// The same in dashes.
    #[must_use]
    pub fn dashed(self, dash: f32, gap: f32) -> Stroke {
        Stroke {
            dashes: Some([dash, gap]),
            ..self
        }
    }
}

/// Widths of lines, points.
pub mod line {
    /// Grid and hatching.
    pub const HAIR: f32 = 1.0;
    /// Axes, borders, open marks.
    pub const FINE: f32 = 1.4;
    /// Curves and the marks of thresholds.
    pub const BOLD: f32 = 2.0;
}

/// Sizes of a figure's lettering, points.
pub mod letters {
    /// All of it …
    pub const SMALL: f32 = 13.0;
    /// … but the one figure that it is about.
    pub const LARGE: f32 = 21.0;
}

/// Which point of a label lies at its place, across.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Across {
    /// Its beginning.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// Which point of a label lies at its place, from top to bottom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Down {
    /// Its top.
    Top,
    /// The middle of its line.
    Middle,
    /// The line that letters stand on.
    Base,
    /// Its foot.
    Foot,
}

/// How heavy letters are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Face {
    /// As text usually is.
    Plain,
    /// Headings and what is found.
    Strong,
    /// Asides.
    Slanted,
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Where it stands.
    pub at: Point,
    /// By which of its points, across …
    pub across: Across,
    /// … and down.
    pub down: Down,
    /// What it says.
    pub text: String,
    /// How large.
    pub size: f32,
    /// How heavy.
    pub face: Face,
    /// In what.
    pub ink: Ink,
    /// Read from below upward.
    pub upward: bool,
    /// Covers what lies behind it.
    pub on: Option<Ink>,
    /// Broken into lines of at most this width, where it begins at its place.
    pub within: Option<f32>,
}

impl Label {
    /// A figure's lettering.
    #[must_use]
    pub fn small(at: Point, across: Across, down: Down, text: impl Into<String>) -> Label {
        Label {
            at,
            across,
            down,
            text: text.into(),
            size: letters::SMALL,
            face: Face::Plain,
            ink: Ink::Soft,
            upward: false,
            on: None,
            within: None,
        }
    }

    /// The same in another ink.
    #[must_use]
    pub fn in_ink(self, ink: Ink) -> Label {
        Label { ink, ..self }
    }
}

/// One thing that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A line through points.
    Lines {
        /// The points.
        points: Vec<Point>,
        /// Whether the last is joined with the first.
        closed: bool,
        /// How.
        stroke: Stroke,
    },
    /// A convex field.
    Field {
        /// Its corners.
        points: Vec<Point>,
        /// What fills it.
        fill: Ink,
        /// Its border.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// Its middle.
        middle: Point,
        /// Its radius.
        radius: f32,
        /// What fills it.
        fill: Option<Ink>,
        /// Its line.
        stroke: Option<Stroke>,
    },
    /// Text.
    Label(Label),
}

impl Shape {
    /// A straight line.
    #[must_use]
    pub fn line(from: Point, to: Point, stroke: Stroke) -> Shape {
        Shape::Lines {
            points: vec![from, to],
            closed: false,
            stroke,
        }
    }

    /// A level line.
    #[must_use]
    pub fn level([from, to]: [f32; 2], y: f32, stroke: Stroke) -> Shape {
        Shape::line(at(from, y), at(to, y), stroke)
    }

    /// An upright line.
    #[must_use]
    pub fn upright(x: f32, [from, to]: [f32; 2], stroke: Stroke) -> Shape {
        Shape::line(at(x, from), at(x, to), stroke)
    }

    /// A closed line.
    #[must_use]
    pub fn outline(points: Vec<Point>, stroke: Stroke) -> Shape {
        Shape::Lines {
            points,
            closed: true,
            stroke,
        }
    }

    /// A filled rectangle.
    #[must_use]
    pub fn filled(area: Area, fill: Ink) -> Shape {
        Shape::Field {
            points: area.corners(),
            fill,
            stroke: None,
        }
    }

    /// A rectangle's border.
    #[must_use]
    pub fn frame(area: Area, stroke: Stroke) -> Shape {
        Shape::outline(area.corners(), stroke)
    }

    /// An open circle.
    #[must_use]
    pub fn ring(middle: Point, radius: f32, stroke: Stroke) -> Shape {
        Shape::Circle {
            middle,
            radius,
            fill: None,
            stroke: Some(stroke),
        }
    }

    /// A filled circle.
    #[must_use]
    pub fn disc(middle: Point, radius: f32, fill: Ink) -> Shape {
        Shape::Circle {
            middle,
            radius,
            fill: Some(fill),
            stroke: None,
        }
    }

    /// The same, so many times as large from the origin, and then moved.
    #[must_use]
    pub fn scaled(self, times: f32, by: Point) -> Shape {
        let placed = |point: Point| times * point + by;
        let all = |points: Vec<Point>| points.into_iter().map(placed).collect();
        let stroke = |one: Stroke| Stroke {
            width: times * one.width,
            dashes: one.dashes.map(|both| both.map(|one| times * one)),
            ..one
        };
        match self {
            Shape::Lines {
                points,
                closed,
                stroke: one,
            } => Shape::Lines {
                points: all(points),
                closed,
                stroke: stroke(one),
            },
            Shape::Field {
                points,
                fill,
                stroke: one,
            } => Shape::Field {
                points: all(points),
                fill,
                stroke: one.map(stroke),
            },
            Shape::Circle {
                middle,
                radius,
                fill,
                stroke: one,
            } => Shape::Circle {
                middle: placed(middle),
                radius: times * radius,
                fill,
                stroke: one.map(stroke),
            },
            Shape::Label(label) => Shape::Label(Label {
                at: placed(label.at),
                size: times * label.size,
                within: label.within.map(|within| times * within),
                ..label
            }),
        }
    }
}
