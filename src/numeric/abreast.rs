//! Work done side by side: the same answers in the same order, whatever the number of hands.

/// Does each piece of work and gives the answers in the order of the work. With `worth` it is shared among the processors, where the program is built with threads; `one` must answer the same whoever asks.
pub fn abreast<W: Sync, R: Send>(work: &[W], worth: bool, one: impl Fn(&W) -> R + Sync) -> Vec<R> {
    #[cfg(all(feature = "threads", not(target_family = "wasm")))]
    if worth && let Some(done) = shared(work, hands(), &one) {
        return done;
    }
    let _ = worth;
    work.iter().map(one).collect()
}

/// Processors that this program may use.
#[cfg(all(feature = "threads", not(target_family = "wasm")))]
fn hands() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}

/// The work shared among so many hands, each taking the next piece that nobody has; `None` where one hand does.
#[cfg(all(feature = "threads", not(target_family = "wasm")))]
fn shared<W: Sync, R: Send>(
    work: &[W],
    hands: usize,
    one: &(impl Fn(&W) -> R + Sync),
) -> Option<Vec<R>> {
    use std::sync::atomic::{AtomicUsize, Ordering};
    let hands = hands.min(work.len());
    if hands < 2 {
        return None;
    }
    let next = AtomicUsize::new(0);
    let hand = || {
        let mut mine = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(piece) = work.get(at) else {
                return mine;
            };
            mine.push((at, one(piece)));
        }
    };
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let others: Vec<_> = (1..hands).map(|_| scope.spawn(hand)).collect();
        let mut all = hand();
        for other in others {
            match other.join() {
                Ok(mine) => all.extend(mine),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    done.sort_by_key(|(at, _)| *at);
    Some(done.into_iter().map(|(_, answer)| answer).collect())
}

#[cfg(all(test, feature = "threads"))]
mod tests {
    use super::*;

    #[test]
    fn the_answers_come_in_order_whatever_the_hands() {
        let work: Vec<u64> = (0..57).collect();
        let square = |x: &u64| {
            // the first pieces take longest
            (0..(57 - x) * 500).fold(x * x, |sum, i| std::hint::black_box(sum + i) - i)
        };
        let alone: Vec<u64> = work.iter().map(square).collect();
        assert_eq!(alone[56], 3136);
        assert_eq!(shared(&work, 1, &square), None);
        for hands in [2, 3, 8, 200] {
            assert_eq!(shared(&work, hands, &square), Some(alone.clone()));
        }
    }
}
