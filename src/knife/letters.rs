//! The letters of a name that is engraved: single strokes of our own drawing, on a grid four squares wide and six high.
//!
//! A letter is a few chains of corners, each written as its two digits on the grid, chains parted by `|`. There is no lower case: a tang bears capitals. What is
//! not in the list can't be engraved, and is said before anything is cut.

use crate::geometry::{Point, Vec2};

/// Squares of the grid in the height of a letter.
const SQUARES: f64 = 6.0;
/// Squares between two letters.
const BETWEEN: f64 = 1.6;
/// Squares a blank takes.
const BLANK: f64 = 2.4;

/// Every sign with its strokes.
const LETTERS: [(char, &str); 44] = [
    ('A', "00 26 40|13 33"),
    ('B', "00 06 36 45 44 33 03|33 42 41 30 00"),
    ('C', "45 36 16 05 01 10 30 41"),
    ('D', "00 06 26 44 42 20 00"),
    ('E', "40 00 06 46|03 33"),
    ('F', "00 06 46|03 33"),
    ('G', "45 36 16 05 01 10 30 41 43 23"),
    ('H', "00 06|40 46|03 43"),
    ('I', "00 06"),
    ('J', "01 10 20 31 36"),
    ('K', "00 06|46 03 40"),
    ('L', "06 00 40"),
    ('M', "00 06 23 46 40"),
    ('N', "00 06 40 46"),
    ('O', "10 01 05 16 36 45 41 30 10"),
    ('P', "00 06 36 45 44 33 03"),
    ('Q', "10 01 05 16 36 45 41 30 10|22 40"),
    ('R', "00 06 36 45 44 33 03|23 40"),
    ('S', "01 10 30 41 42 33 13 04 05 16 36 45"),
    ('T', "06 46|26 20"),
    ('U', "06 01 10 30 41 46"),
    ('V', "06 20 46"),
    ('W', "06 10 23 30 46"),
    ('X', "00 46|06 40"),
    ('Y', "06 23 46|23 20"),
    ('Z', "06 46 00 40"),
    ('0', "10 01 05 16 36 45 41 30 10|12 34"),
    ('1', "04 26 20"),
    ('2', "05 16 36 45 44 00 40"),
    ('3', "05 16 36 45 44 33 13|33 42 41 30 10 01"),
    ('4', "30 36 02 42"),
    ('5', "46 06 03 33 42 41 30 10 01"),
    ('6', "45 36 16 05 01 10 30 41 42 33 03"),
    ('7', "06 46 10"),
    ('8', "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33"),
    ('9', "01 10 30 41 45 36 16 05 04 13 43"),
    ('-', "13 33"),
    ('+', "03 43|21 25"),
    ('/', "00 46"),
    ('.', "00 01"),
    (',', "11 00"),
    (':', "01 02|04 05"),
    ('\'', "05 06"),
    ('&', "40 05 16 26 35 13 01 10 20 42"),
];

/// The strokes of a line of words, with the width they take, both for letters 1 high that stand on the x axis from 0 on. Small letters are cut as capitals; a
/// sign that is not in the list gives itself back.
///
/// # Errors
/// The first sign that can't be engraved.
pub(super) fn strokes(words: &str) -> Result<(Vec<Vec<Point>>, f64), char> {
    let mut all = Vec::new();
    let mut x = 0.0;
    let mut width = 0.0;
    for sign in words.chars() {
        if sign == ' ' {
            x += BLANK;
            continue;
        }
        let capital = sign.to_uppercase().next().unwrap_or(sign);
        let found = LETTERS.iter().find(|(own, _)| *own == capital);
        let (_, drawn) = found.ok_or(sign)?;
        let mut right: f64 = 0.0;
        for chain in drawn.split('|') {
            let corners: Vec<Point> = chain.split(' ').filter_map(corner).collect();
            right = corners.iter().map(|c| c.x).fold(right, f64::max);
            let placed = corners.iter().map(|c| *c + Vec2::new(x, 0.0));
            all.push(placed.map(|c| (c.to_vec2() / SQUARES).to_point()).collect());
        }
        width = (x + right) / SQUARES;
        x += right + BETWEEN;
    }
    Ok((all, width))
}

/// A corner from its two digits.
fn corner(digits: &str) -> Option<Point> {
    let mut numbers = digits.chars().filter_map(|d| d.to_digit(10));
    let (x, y) = (numbers.next()?, numbers.next()?);
    Some(Point::new(f64::from(x), f64::from(y)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_sign_is_drawn_once_on_its_grid() {
        for (i, (sign, drawn)) in LETTERS.iter().enumerate() {
            assert!(
                LETTERS[i + 1..]
                    .iter()
                    .all(|(s, d)| s != sign && d != drawn),
                "{sign}"
            );
            let (chains, width) = strokes(&sign.to_string()).unwrap();
            assert!((0.0..=4.0 / 6.0).contains(&width), "{sign}");
            for chain in &chains {
                assert!(chain.len() >= 2, "{sign}: a chain has an end");
                for pair in chain.windows(2) {
                    assert!(pair[0].distance(pair[1]) > 0.1, "{sign}: no empty stroke");
                }
                assert!(chain.iter().all(|p| (0.0..=1.0).contains(&p.y)), "{sign}");
            }
        }
        assert!(
            ('A'..='Z')
                .chain('0'..='9')
                .all(|c| strokes(&c.to_string()).is_ok())
        );
    }

    #[test]
    fn words_stand_side_by_side() {
        // L is 4 squares wide, I none: 4 + 1.6 squares of a sixth.
        let (chains, width) = strokes("li").unwrap();
        assert_eq!(chains.len(), 2);
        assert!((width - 5.6 / 6.0).abs() < 1e-12);
        assert!((chains[1][0].x - width).abs() < 1e-12);
        assert_eq!(strokes("a_b"), Err('_'));
        assert_eq!(strokes(""), Ok((Vec::new(), 0.0)));
    }
}
