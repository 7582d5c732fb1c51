//! From a font's curves to rings of straight edges.

use crate::lists::drawing::{Drawing, Point};
use ttf_parser::{Face, GlyphId, OutlineBuilder};

/// How far an edge may be off the curve, in thousandths of the cap height: 0.1 mm of a 4 in letter.
const OFF: i64 = 1;

/// The outline of a letter of this advance, of a face whose capitals are so high, both in its units.
pub(super) fn drawing(face: &Face, id: GlyphId, advance: i64, height: i64) -> Option<Drawing> {
    let mut pen = Pen { height, ..Pen::default() };
    face.outline_glyph(id, &mut pen)?;
    pen.close();
    Drawing::new(i32::try_from(thousandths(advance, height)).ok()?, pen.rings)
}

/// A place in the font's units.
type Place = (i64, i64);

#[derive(Default)]
struct Pen {
    height: i64,
    rings: Vec<Vec<Point>>,
    ring: Vec<Point>,
    at: Place,
}

impl Pen {
    fn go(&mut self, to: Place) {
        self.at = to;
        let [x, y] = [to.0, to.1].map(|units| thousandths(units, self.height));
        let far = i64::from(Drawing::FARTHEST) + 1;
        let [x, y] = [x, y].map(|share| share.clamp(-far, far) as i32);
        if self.ring.last() != Some(&(x, y)) {
            self.ring.push((x, y));
        }
    }

    /// Edges along a curve whose second differences are no larger than these: each edge is off by at
    /// most an eighth of the second derivative times the square of its share of the curve.
    fn along(&mut self, bend: i64, place: impl Fn(i64, i64) -> Place) {
        let allowed = 8 * OFF * self.height;
        let count = (1..=MOST_EDGES).find(|n| bend.saturating_mul(1_000) <= allowed.saturating_mul(n * n));
        let count = count.unwrap_or(MOST_EDGES);
        (1..=count).for_each(|at| self.go(place(at, count)));
    }
}

/// The most edges of one curve.
const MOST_EDGES: i64 = 32;

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.close();
        self.go(place(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.go(place(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let (a, b, c) = (self.at, place(x1, y1), place(x, y));
        // The second derivative is twice the second difference.
        self.along(2 * bend(a, b, c), |at, of| {
            let rest = of - at;
            mixed(&[(rest * rest, a), (2 * at * rest, b), (at * at, c)], of * of)
        });
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let (a, b, c, d) = (self.at, place(x1, y1), place(x2, y2), place(x, y));
        // The second derivative is at most six times the larger second difference.
        self.along(6 * bend(a, b, c).max(bend(b, c, d)), |at, of| {
            let rest = of - at;
            let shares =
                [(rest.pow(3), a), (3 * at * rest * rest, b), (3 * at * at * rest, c), (at.pow(3), d)];
            mixed(&shares, of.pow(3))
        });
    }

    fn close(&mut self) {
        let mut ring = std::mem::take(&mut self.ring);
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        if ring.len() > 2 {
            self.rings.push(ring);
        }
    }
}

/// To whole units, within what any font has: its coordinates are no larger than sixteen bits.
fn place(x: f32, y: f32) -> Place {
    let whole = |value: f32| (value.round() as i64).clamp(-1_000_000, 1_000_000);
    (whole(x), whole(y))
}

/// How far the middle one of three places lies off the middle of the others, twice, across or up.
fn bend(a: Place, b: Place, c: Place) -> i64 {
    let (x, y) = (a.0 - 2 * b.0 + c.0, a.1 - 2 * b.1 + c.1);
    // Never less than the true distance, and at most two fifths more.
    x.abs() + y.abs()
}

/// Places weighed by their shares of a whole.
fn mixed(shares: &[(i64, Place)], whole: i64) -> Place {
    let sum = |of: fn(&Place) -> i64| shares.iter().map(|(share, place)| share * of(place)).sum::<i64>();
    let rounded = |value: i64| (2 * value + whole).div_euclid(2 * whole);
    (rounded(sum(|place| place.0)), rounded(sum(|place| place.1)))
}

/// Of the cap height, rounded.
fn thousandths(units: i64, height: i64) -> i64 {
    (2_000 * units + height).div_euclid(2 * height.max(1))
}

#[cfg(test)]
#[allow(clippy::float_arithmetic)] // held against the true curve
mod tests {
    use super::*;

    fn pen(draw: impl Fn(&mut Pen)) -> Vec<Point> {
        let mut pen = Pen { height: 1_400, ..Pen::default() };
        pen.move_to(0.0, 0.0);
        draw(&mut pen);
        pen.close();
        pen.rings.remove(0)
    }

    /// The farthest that the true curve is from the edges, in thousandths.
    fn off(ring: &[Point], curve: impl Fn(f64) -> (f64, f64)) -> f64 {
        let distance = |(x, y): (f64, f64)| {
            let edge = |pair: &[Point]| {
                let (ax, ay, bx, by) =
                    (f64::from(pair[0].0), f64::from(pair[0].1), f64::from(pair[1].0), f64::from(pair[1].1));
                let (dx, dy) = (bx - ax, by - ay);
                let along = (((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
                (x - ax - along * dx).hypot(y - ay - along * dy)
            };
            ring.windows(2).map(edge).fold(f64::INFINITY, f64::min)
        };
        let scaled = |(x, y): (f64, f64)| (x * 1_000.0 / 1_400.0, y * 1_000.0 / 1_400.0);
        (0..=200).map(|at| distance(scaled(curve(f64::from(at) / 200.0)))).fold(0.0, f64::max)
    }

    #[test]
    fn edges_follow_their_curve_to_two_thousandths() {
        // Half of that is the edge's, the rest the rounding of its ends.
        let ring = pen(|pen| pen.quad_to(900.0, 100.0, 700.0, 1_300.0));
        let curve = |t: f64| {
            let r = 1.0 - t;
            (2.0 * t * r * 900.0 + t * t * 700.0, 2.0 * t * r * 100.0 + t * t * 1_300.0)
        };
        assert!(off(&ring, curve) < 2.0, "{}", off(&ring, curve));
        let ring = pen(|pen| pen.curve_to(0.0, 800.0, 1_200.0, 900.0, 1_100.0, -200.0));
        let curve = |t: f64| {
            let r = 1.0 - t;
            let (b, c, d) = (3.0 * t * r * r, 3.0 * t * t * r, t * t * t);
            (c * 1_200.0 + d * 1_100.0, b * 800.0 + c * 900.0 - d * 200.0)
        };
        assert!(off(&ring, curve) < 2.0, "{}", off(&ring, curve));
        assert!((8..=MOST_EDGES as usize + 1).contains(&ring.len()));
    }

    #[test]
    fn a_curve_begins_where_the_pen_is() {
        let ring = pen(|pen| {
            pen.line_to(1_000.0, 300.0);
            pen.quad_to(200.0, 500.0, 900.0, 1_300.0);
        });
        let curve = |t: f64| {
            let (a, b, c) = ((1.0 - t) * (1.0 - t), 2.0 * t * (1.0 - t), t * t);
            (a * 1_000.0 + b * 200.0 + c * 900.0, a * 300.0 + b * 500.0 + c * 1_300.0)
        };
        assert!(off(&ring, curve) < 2.0, "{}", off(&ring, curve));
        let ring = pen(|pen| {
            pen.line_to(1_000.0, 300.0);
            pen.curve_to(200.0, 500.0, 300.0, 900.0, 900.0, 1_300.0);
        });
        let curve = |t: f64| {
            let r = 1.0 - t;
            let (a, b, c, d) = (r * r * r, 3.0 * t * r * r, 3.0 * t * t * r, t * t * t);
            (a * 1_000.0 + b * 200.0 + c * 300.0 + d * 900.0, a * 300.0 + b * 500.0 + c * 900.0 + d * 1_300.0)
        };
        assert!(off(&ring, curve) < 2.0, "{}", off(&ring, curve));
    }

    #[test]
    fn a_curve_has_no_more_edges_than_keep_it_so_near() {
        // Reckoned by hand: the least count whose square times 8 x 1,400 is not below a thousand times
        // 2 x (1,100 + 1,100), and 6 x (400 + 100).
        let ring = pen(|pen| pen.quad_to(900.0, 100.0, 700.0, 1_300.0));
        assert_eq!(ring.len(), 1 + 20);
        let ring = pen(|pen| pen.curve_to(0.0, 400.0, 400.0, 700.0, 700.0, 700.0));
        assert_eq!(ring.len(), 1 + 17);
        // The sharper bend of the two decides.
        let ring = pen(|pen| pen.curve_to(300.0, 0.0, 700.0, 300.0, 700.0, 700.0));
        assert_eq!(ring.len(), 1 + 17);
        let ring = pen(|pen| pen.curve_to(0.0, 9_000.0, 9_000.0, 9_000.0, 9_000.0, 100.0));
        assert_eq!(ring.len(), 1 + MOST_EDGES as usize);
    }

    #[test]
    fn what_goes_too_far_is_no_drawing() {
        let far = |units: f32| {
            let ring = pen(|pen| {
                pen.line_to(units, 0.0);
                pen.line_to(0.0, 700.0);
            });
            Drawing::new(1_000, vec![ring]).is_some()
        };
        let farthest = Drawing::FARTHEST as f32 * 1.4;
        assert!(far(farthest) && far(-farthest));
        assert!(!far(farthest + 14.0) && !far(-farthest - 14.0) && !far(9e5));
    }

    #[test]
    fn straight_edges_stay_one_edge_and_a_ring_is_not_closed_twice() {
        let ring = pen(|pen| {
            pen.quad_to(700.0, 0.0, 1_400.0, 0.0);
            pen.line_to(1_400.0, 1_400.0);
            pen.line_to(0.0, 0.0);
        });
        assert_eq!(ring, [(0, 0), (1_000, 0), (1_000, 1_000)]);
        // What has no area is no ring.
        let ring = pen(|pen| {
            pen.line_to(1_400.0, 0.0);
            pen.move_to(0.0, 0.0);
            pen.line_to(1_400.0, 0.0);
            pen.line_to(0.0, 1_400.0);
        });
        assert_eq!(ring, [(0, 0), (1_000, 0), (0, 1_000)]);
    }
}
