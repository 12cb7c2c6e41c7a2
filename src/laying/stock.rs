//! From which coil or stick each piece is cut, so that little is left over.

use super::pieces::LaidPiece;
use crate::line::{Environment, PieceLength, Reach};
use crate::pipe::Joint;

/// A bought length while pieces are cut from it.
#[derive(Debug, Clone)]
struct Bought {
    length: PieceLength,
    /// Pieces cut from it: indexes, in any order.
    pieces: Vec<usize>,
    /// Length of them all, m.
    cut_m: f64,
}

impl Bought {
    fn room_m(&self) -> f64 {
        self.length.bought_m - self.length.ends_m - self.cut_m
    }
}

/// Sizes rounded up to whole millimetres are compared with this much room, m.
const HAIR_M: f64 = 1e-6;

/// The next free numbers.
pub(super) struct NextNumbers {
    pub(super) coil: usize,
    pub(super) stick: usize,
}

/// Gives every new piece of a reach the coil or stick it is cut from, each kind numbered in the order they are needed.
///
/// What is left of one serves again where it is long enough, except of sticks with a socket: what is cut off has none.
/// Of two ways to fill them, longest piece first, the one that buys less pipe is kept: each piece from the length that was chosen for it, or all from the longest; either way a length is changed for a shorter one that still holds its pieces.
pub(super) fn allot(
    environment: &Environment,
    reach: &Reach,
    pieces: &mut [LaidPiece],
    next: &mut NextNumbers,
) {
    let lengths = environment.piece_lengths(reach);
    let Some(longest) = lengths.last().copied() else {
        return;
    };
    let own = |piece: &LaidPiece| {
        lengths
            .iter()
            .copied()
            .find(|l| Some(l.bought_m) == piece.bought_m)
            .unwrap_or(longest)
    };
    let shares = !matches!(reach.joint, Joint::Ring | Joint::Solvent);
    let chosen = filled(pieces, &lengths, shares, own);
    let all_long = filled(pieces, &lengths, shares, |_| longest);
    let sum = |b: &[Bought]| b.iter().map(|b| b.length.bought_m).sum::<f64>();
    let mut bought = if sum(&all_long) < sum(&chosen) - HAIR_M {
        all_long
    } else {
        chosen
    };
    for one in &mut bought {
        one.pieces.sort_unstable();
    }
    bought.sort_by_key(|b| b.pieces.first().copied());
    for one in bought {
        let counter = if one.length.coil {
            &mut next.coil
        } else {
            &mut next.stick
        };
        let number = *counter;
        *counter += 1;
        let mut left_m = one.length.bought_m;
        for i in one.pieces {
            let Some(piece) = pieces.get_mut(i) else {
                continue;
            };
            left_m -= piece.cut_m;
            piece.cut_from = Some(number);
            piece.bought_m = Some(one.length.bought_m);
            piece.coil = one.length.coil;
            piece.left_m = left_m.max(0.0);
        }
    }
}

/// Pieces in bought lengths, longest piece first, each into the fullest that still has room.
fn filled(
    pieces: &[LaidPiece],
    lengths: &[PieceLength],
    shares: bool,
    opens: impl Fn(&LaidPiece) -> PieceLength,
) -> Vec<Bought> {
    let mut order: Vec<(usize, &LaidPiece)> = pieces.iter().enumerate().collect();
    order.sort_by(|a, b| b.1.cut_m.total_cmp(&a.1.cut_m).then(a.0.cmp(&b.0)));
    let mut out: Vec<Bought> = Vec::new();
    for (i, piece) in order {
        let room = out
            .iter_mut()
            .filter(|b| shares && b.room_m() >= piece.cut_m - HAIR_M)
            .min_by(|a, b| a.room_m().total_cmp(&b.room_m()));
        match room {
            Some(b) => {
                b.pieces.push(i);
                b.cut_m += piece.cut_m;
            }
            None => out.push(Bought {
                length: opens(piece),
                pieces: vec![i],
                cut_m: piece.cut_m,
            }),
        }
    }
    for one in &mut out {
        if let Some(shorter) = lengths
            .iter()
            .find(|l| l.bought_m - l.ends_m >= one.cut_m - HAIR_M)
            && shorter.bought_m < one.length.bought_m
        {
            one.length = *shorter;
        }
    }
    out
}
