//! Places for words in a chart: each gets the free place nearest to what it names.

use eframe::egui::{Pos2, Rect, Vec2};

/// A word to place.
#[derive(Clone, Debug)]
pub struct Request {
    /// Size of the text.
    pub size: Vec2,
    /// Places that would do, the best first: the left top corner of the text.
    pub places: Vec<Pos2>,
    /// Whether it may be left out if every place is taken by another word.
    pub optional: bool,
}

/// Cost of each point of a curve that the word would lie on.
const ON_CURVE: f32 = 2.0;
/// Cost of each place that is passed over.
const NEXT_PLACE: f32 = 0.7;
/// Cost of lying on another word.
const ON_WORD: f32 = 500.0;

/// The corner of each word, in order; `None`: left out. `curves` are points on what is drawn.
pub fn arrange(frame: Rect, requests: &[Request], curves: &[Pos2]) -> Vec<Option<Pos2>> {
    let mut taken: Vec<Rect> = Vec::new();
    let mut corners = Vec::with_capacity(requests.len());
    for request in requests {
        let candidate = |(n, &place): (usize, &Pos2)| {
            let rect = Rect::from_min_size(inside(frame, place, request.size), request.size);
            let moved = (rect.min - place).length();
            let on_words = taken.iter().filter(|other| other.intersects(rect)).count() as f32;
            let ground = rect.shrink2(Vec2::new(0.0, 2.0));
            let on_curves = curves.iter().filter(|point| ground.contains(**point)).count() as f32;
            let cost = NEXT_PLACE * n as f32 + ON_CURVE * on_curves + ON_WORD * on_words + 0.2 * moved;
            (cost, rect)
        };
        let best = request.places.iter().enumerate().map(candidate).min_by(|a, b| a.0.total_cmp(&b.0));
        let best = best.filter(|(cost, _)| !request.optional || *cost < ON_WORD);
        corners.push(best.map(|(_, rect)| rect.min));
        taken.extend(best.map(|(_, rect)| rect));
    }
    corners
}

/// The nearest corner at which a text lies within the frame.
fn inside(frame: Rect, corner: Pos2, size: Vec2) -> Pos2 {
    let most = frame.max - size;
    Pos2::new(corner.x.min(most.x).max(frame.min.x), corner.y.min(most.y).max(frame.min.y))
}

/// Points along a line of points, no further than `step` apart.
pub fn along(points: impl Iterator<Item = Pos2>, step: f32, out: &mut Vec<Pos2>) {
    let mut last: Option<Pos2> = None;
    for point in points {
        let Some(before) = last else {
            out.push(point);
            last = Some(point);
            continue;
        };
        let way = point - before;
        if way.length() < step {
            continue;
        }
        let count = (way.length() / step).floor().min(4000.0);
        out.extend((1..=count as usize).map(|n| before + way * (n as f32 / count)));
        last = Some(point);
    }
}

#[cfg(test)]
mod tests {
    use eframe::egui::{pos2, vec2};

    use super::*;

    const FRAME: Rect = Rect { min: Pos2::ZERO, max: Pos2 { x: 200.0, y: 100.0 } };

    fn request(places: &[Pos2]) -> Request {
        Request { size: vec2(50.0, 12.0), places: places.to_vec(), optional: true }
    }

    #[test]
    fn a_second_word_does_not_lie_on_the_first() {
        let at = pos2(20.0, 20.0);
        let corners = arrange(FRAME, &[request(&[at]), request(&[at, pos2(20.0, 40.0)])], &[]);
        assert_eq!(corners, vec![Some(at), Some(pos2(20.0, 40.0))]);
        let corners = arrange(FRAME, &[request(&[at]), request(&[at])], &[]);
        assert_eq!(corners, vec![Some(at), None], "there is no other place");
    }

    #[test]
    fn a_word_makes_way_for_a_curve_and_stays_in_the_frame() {
        let mut curve = Vec::new();
        along([pos2(0.0, 26.0), pos2(200.0, 26.0)].into_iter(), 4.0, &mut curve);
        assert_eq!(curve.len(), 51);
        let corners = arrange(FRAME, &[request(&[pos2(20.0, 20.0), pos2(190.0, 60.0)])], &curve);
        assert_eq!(corners, vec![Some(pos2(150.0, 60.0))]);
    }
}
