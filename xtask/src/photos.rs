//! The demo's pictures, drawn: invented, like everything else in the demo. Same bytes
//! every time.

use crate::run::root;

const WIDTH: usize = 720;
const HEIGHT: usize = 540;

type Colour = [f32; 3];

type Picture = fn() -> Canvas;

pub(crate) fn draw() -> Result<String, String> {
    let pictures: [(&str, Picture); 7] = [
        ("demo/photos/joint-spall", joint_spall),
        ("demo/photos/beads", beads),
        ("demo/photos/chalk", chalk),
        ("demo/photos/oil", oil),
        ("demo/photos/crack", crack),
        ("demo/photos/adhesive", adhesive),
        ("examples/nearly-ready/photos/panel", panel),
    ];
    for (name, picture) in pictures {
        let path = root().join(format!("{name}.jpg"));
        let encoder = jpeg_encoder::Encoder::new_file(&path, 78).map_err(|e| e.to_string())?;
        encoder
            .encode(&picture().bytes(), WIDTH as u16, HEIGHT as u16, jpeg_encoder::ColorType::Rgb)
            .map_err(|e| e.to_string())?;
    }
    Ok(format!("{} pictures drawn", pictures.len()))
}

/// A repeatable number between 0 and 1 for a lattice point.
fn lattice(x: i32, y: i32, seed: u32) -> f32 {
    let mut h = (x as u32).wrapping_mul(0x9E37_79B1)
        ^ (y as u32).wrapping_mul(0x85EB_CA77)
        ^ seed.wrapping_mul(0xC2B2_AE3D);
    h ^= h >> 15;
    h = h.wrapping_mul(0x2C1B_3C6D);
    h ^= h >> 12;
    h = h.wrapping_mul(0x297A_2D39);
    h ^= h >> 15;
    (h & 0xFFFF) as f32 / 65_535.0
}

/// Smooth noise with features of about `size` pixels.
fn noise(x: f32, y: f32, size: f32, seed: u32) -> f32 {
    let (fx, fy) = (x / size, y / size);
    let (ix, iy) = (fx.floor() as i32, fy.floor() as i32);
    let ease = |t: f32| t * t * (3.0 - 2.0 * t);
    let (tx, ty) = (ease(fx.fract()), ease(fy.fract()));
    let mix = |a: f32, b: f32, t: f32| a + (b - a) * t;
    let at = |dx, dy| lattice(ix + dx, iy + dy, seed);
    mix(mix(at(0, 0), at(1, 0), tx), mix(at(0, 1), at(1, 1), tx), ty)
}

struct Canvas(Vec<Colour>);

impl Canvas {
    /// A grey slab: broad clouds, trowel haze, sand, pinholes, light from the left.
    fn slab(seed: u32) -> Self {
        let mut pixels = Vec::with_capacity(WIDTH * HEIGHT);
        for y in 0..HEIGHT {
            for x in 0..WIDTH {
                let (fx, fy) = (x as f32, y as f32);
                let mut v = 0.56 + 0.10 * (noise(fx, fy, 150.0, seed) - 0.5);
                v += 0.07 * (noise(fx * 0.6 + fy * 0.3, fy, 34.0, seed + 1) - 0.5);
                v += 0.06 * (noise(fx, fy, 7.0, seed + 2) - 0.5);
                v += 0.09 * (noise(fx, fy, 1.6, seed + 3) - 0.5);
                if noise(fx, fy, 5.0, seed + 4) > 0.93 {
                    v -= 0.12;
                }
                v += 0.07 * (1.0 - fx / WIDTH as f32) - 0.03;
                pixels.push([v * 1.01, v, v * 0.95]);
            }
        }
        Self(pixels)
    }

    /// Blends a colour over every pixel by the weight that `weight` gives it.
    fn paint(&mut self, colour: Colour, weight: impl Fn(f32, f32) -> f32) {
        for (i, pixel) in self.0.iter_mut().enumerate() {
            let w = weight((i % WIDTH) as f32, (i / WIDTH) as f32).clamp(0.0, 1.0);
            for (channel, over) in pixel.iter_mut().zip(colour) {
                *channel += (over - *channel) * w;
            }
        }
    }

    /// A ruler or gauge card: a pale strip with ticks.
    fn card(&mut self, x0: f32, y0: f32, w: f32, h: f32, ticks: usize) {
        let inside = move |x: f32, y: f32| x >= x0 && x < x0 + w && y >= y0 && y < y0 + h;
        self.paint(
            [0.10, 0.10, 0.10],
            move |x, y| {
                if inside(x - 4.0, y - 5.0) { 0.35 } else { 0.0 }
            },
        );
        self.paint([0.93, 0.92, 0.86], move |x, y| if inside(x, y) { 1.0 } else { 0.0 });
        let step = w / ticks as f32;
        self.paint([0.08, 0.08, 0.08], move |x, y| {
            let nearest = ((x - x0) / step).round();
            let long = (nearest as i32) % 3 == 0;
            let reach = if long { h * 0.6 } else { h * 0.35 };
            let on = inside(x, y) && (x - x0 - nearest * step).abs() < 1.3 && y - y0 < reach;
            if on { 1.0 } else { 0.0 }
        });
    }

    fn bytes(&self) -> Vec<u8> {
        self.0.iter().flatten().map(|v| (v.clamp(0.0, 1.0) * 255.0) as u8).collect()
    }
}

fn smooth(edge0: f32, edge1: f32, v: f32) -> f32 {
    let t = ((v - edge0) / (edge1 - edge0)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Distance from a point to a jagged line.
fn to_line(points: &[(f32, f32)], x: f32, y: f32) -> f32 {
    points
        .windows(2)
        .map(|pair| {
            let ((ax, ay), (bx, by)) = (pair[0], pair[1]);
            let (dx, dy) = (bx - ax, by - ay);
            let t = (((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
            (x - ax - t * dx).hypot(y - ay - t * dy)
        })
        .fold(f32::INFINITY, f32::min)
}

/// A closed outline about a middle that wanders in and out; below 1 is inside.
fn blob(x: f32, y: f32, cx: f32, cy: f32, rx: f32, ry: f32, seed: u32) -> f32 {
    let (dx, dy) = ((x - cx) / rx, (y - cy) / ry);
    let angle = dy.atan2(dx);
    let wander =
        0.78 + 0.44 * noise(angle.cos() * 60.0 + 200.0, angle.sin() * 60.0 + 200.0, 34.0, seed);
    dx.hypot(dy) / wander
}

fn joint_spall() -> Canvas {
    let mut c = Canvas::slab(11);
    c.paint([0.13, 0.12, 0.11], |x, y| {
        1.0 - smooth(5.0, 8.0, (y - 300.0 - 2.0 * noise(x, 0.0, 40.0, 5)).abs())
    });
    let spall = |x: f32, y: f32| {
        if y > 296.0 { blob(x, y, 350.0, 300.0, 190.0, 105.0, 21) } else { 9.0 }
    };
    c.paint([0.36, 0.34, 0.31], move |x, y| 0.9 * (1.0 - smooth(0.93, 1.0, spall(x, y))));
    c.paint([0.62, 0.58, 0.52], move |x, y| {
        let stone = noise(x, y, 17.0, 31) > 0.62;
        if stone { 0.75 * (1.0 - smooth(0.8, 0.95, spall(x, y))) } else { 0.0 }
    });
    c.paint([0.10, 0.09, 0.08], move |x, y| {
        0.7 * smooth(0.90, 0.97, spall(x, y)) * (1.0 - smooth(0.99, 1.03, spall(x, y)))
    });
    c.card(150.0, 190.0, 420.0, 40.0, 36);
    c
}

fn beads() -> Canvas {
    let mut c = Canvas::slab(12);
    // Left: sealed and a little darker and glossier; right: bare.
    c.paint([0.47, 0.45, 0.40], |x, y| {
        0.45 * (1.0 - smooth(385.0, 400.0, x + 20.0 * noise(x, y, 60.0, 8)))
    });
    for (i, (cx, cy, r)) in [
        (120.0, 150.0, 34.0),
        (215.0, 250.0, 42.0),
        (110.0, 360.0, 30.0),
        (270.0, 400.0, 38.0),
        (250.0, 120.0, 25.0),
    ]
    .into_iter()
    .enumerate()
    {
        let at = move |x: f32, y: f32| blob(x, y, cx, cy, r, r * 0.92, 40 + i as u32);
        c.paint([0.16, 0.16, 0.16], move |x, y| {
            0.55 * (1.0 - smooth(0.85, 1.02, at(x - 3.0, y - 4.0)))
        });
        c.paint([0.55, 0.57, 0.58], move |x, y| 0.65 * (1.0 - smooth(0.80, 0.9, at(x, y))));
        c.paint([1.0, 1.0, 1.0], move |x, y| {
            0.95 * (1.0 - smooth(r * 0.12, r * 0.22, (x - cx + r * 0.3).hypot(y - cy + r * 0.32)))
        });
    }
    c.paint([0.27, 0.26, 0.24], |x, y| {
        0.8 * (1.0 - smooth(0.9, 1.05, blob(x, y, 545.0, 265.0, 95.0, 85.0, 51)))
    });
    c
}

/// A sample panel in three strips: dry, wet, sealed.
fn panel() -> Canvas {
    let mut canvas = Canvas::slab(71);
    for (at, pixel) in canvas.0.iter_mut().enumerate() {
        let x = (at % WIDTH) as f32 / WIDTH as f32;
        let y = (at / WIDTH) as f32 / HEIGHT as f32;
        let shine = 0.10 * smooth(0.35, 0.5, y) * (1.0 - smooth(0.5, 0.7, y));
        let (dark, gloss) = match x {
            x if x < 0.33 => (1.0, 0.0),
            x if x < 0.66 => (0.72, 0.03),
            _ => (0.80, shine),
        };
        for channel in pixel.iter_mut() {
            *channel = *channel * dark + gloss;
        }
    }
    canvas
}

fn chalk() -> Canvas {
    let mut c = Canvas::slab(13);
    let stroke =
        |d: f32, x: f32, y: f32| (1.0 - smooth(3.0, 7.0, d)) * (0.45 + 0.75 * noise(x, y, 2.2, 61));
    c.paint([0.97, 0.97, 0.95], move |x, y| {
        let d = (blob(x, y, 360.0, 270.0, 220.0, 160.0, 62) - 1.0).abs() * 170.0;
        stroke(d, x, y)
    });
    c.paint([0.97, 0.97, 0.95], move |x, y| {
        let cross = [(330.0, 250.0, 390.0, 300.0), (388.0, 246.0, 334.0, 304.0)];
        cross
            .into_iter()
            .map(|(a, b, e, f)| stroke(to_line(&[(a, b), (e, f)], x, y), x, y))
            .fold(0.0, f32::max)
    });
    c
}

fn oil() -> Canvas {
    let mut c = Canvas::slab(14);
    c.paint([0.17, 0.15, 0.12], |x, y| {
        0.85 * (1.0 - smooth(0.55, 1.15, blob(x, y, 340.0, 280.0, 210.0, 150.0, 71)))
    });
    c.paint([0.12, 0.10, 0.08], |x, y| {
        0.8 * (1.0 - smooth(0.6, 1.1, blob(x, y, 560.0, 170.0, 60.0, 48.0, 72)))
    });
    c.paint([0.30, 0.27, 0.22], |x, y| {
        0.35 * (1.0 - smooth(0.9, 1.35, blob(x, y, 340.0, 280.0, 230.0, 170.0, 73)))
    });
    c
}

fn crack() -> Canvas {
    let mut c = Canvas::slab(15);
    let points = [
        (30.0, 60.0),
        (120.0, 118.0),
        (170.0, 140.0),
        (240.0, 222.0),
        (320.0, 250.0),
        (380.0, 318.0),
        (470.0, 352.0),
        (520.0, 430.0),
        (610.0, 470.0),
        (700.0, 530.0),
    ];
    c.paint([0.08, 0.07, 0.06], move |x, y| {
        let width = 2.6 + 1.8 * noise(x, y, 25.0, 81);
        let off = 7.0 * (noise(x, y, 16.0, 82) - 0.5);
        1.0 - smooth(width, width + 1.6, to_line(&points, x + off, y - off))
    });
    c.card(330.0, 120.0, 290.0, 120.0, 24);
    c
}

fn adhesive() -> Canvas {
    let mut c = Canvas::slab(16);
    c.paint([0.55, 0.44, 0.26], |x, y| 0.28 * (0.6 + noise(x, y, 80.0, 91)));
    c.paint([0.42, 0.29, 0.12], |x, y| {
        let wave = (y + 0.35 * x + 26.0 * noise(x, y, 130.0, 92)) / 19.0;
        let rib = 0.5 + 0.5 * (wave * std::f32::consts::TAU / 1.0).sin();
        let patchy = smooth(0.28, 0.5, noise(x, y, 60.0, 93));
        0.85 * smooth(0.55, 0.85, rib) * patchy
    });
    c
}
