//! In which order the voices enter.
//!
//! Voices are numbered from the top part, 0, downwards. Treble and tenor form one pair, alto and
//! bass the other; the subject goes to one pair and the answer to the other, and the last entry is
//! best in an outer voice.
//!
//! Source: Prout, *Fugue*, §§180-184 and 199; five voices: straight order, as both five-part fugues
//! of the Forty-eight have it (rule E7).

/// The fewest voices of an exposition.
pub const FEWEST_VOICES: usize = 2;
/// The most voices of an exposition.
pub const MOST_VOICES: usize = 5;

const TWO: [&[usize]; 2] = [&[0, 1], &[1, 0]];
const THREE: [&[usize]; 4] = [&[1, 0, 2], &[0, 1, 2], &[2, 1, 0], &[1, 2, 0]];
const FOUR: [&[usize]; 4] = [&[1, 2, 3, 0], &[2, 1, 0, 3], &[0, 1, 2, 3], &[3, 2, 1, 0]];
const FIVE: [&[usize]; 2] = [&[0, 1, 2, 3, 4], &[4, 3, 2, 1, 0]];

/// The orders that the handbooks recommend for so many voices, best known first; none outside
/// [`FEWEST_VOICES`]`..=`[`MOST_VOICES`].
///
/// ```
/// // alto, tenor, bass, treble
/// assert_eq!(soggetto::compose::recommended_orders(4)[0], [1, 2, 3, 0]);
/// ```
pub const fn recommended_orders(voices: usize) -> &'static [&'static [usize]] {
    match voices {
        2 => &TWO,
        3 => &THREE,
        4 => &FOUR,
        5 => &FIVE,
        _ => &[],
    }
}

/// Whether an order names every voice exactly once.
pub(super) fn is_complete(order: &[usize], voices: usize) -> bool {
    order.len() == voices && (0..voices).all(|voice| order.contains(&voice))
}

/// All orders of so many voices, those that end in an outer voice first.
pub(super) fn all_orders(voices: usize) -> Vec<Vec<usize>> {
    let mut orders: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..voices {
        orders = orders
            .into_iter()
            .flat_map(|order| {
                let missing: Vec<usize> = (0..voices).filter(|voice| !order.contains(voice)).collect();
                missing.into_iter().map(move |voice| order.iter().copied().chain([voice]).collect())
            })
            .collect();
    }
    let ends_inside = |order: &Vec<usize>| order.last().is_some_and(|&last| last != 0 && last + 1 != voices);
    orders.sort_by_key(ends_inside);
    orders
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_recommended_orders_name_every_voice_once() {
        for voices in FEWEST_VOICES..=MOST_VOICES {
            for order in recommended_orders(voices) {
                assert!(is_complete(order, voices), "{order:?}");
            }
        }
    }

    #[test]
    fn all_orders_are_all_permutations() {
        assert_eq!(all_orders(4).len(), 24);
        assert!(all_orders(4).iter().all(|order| is_complete(order, 4)));
        assert_eq!(all_orders(3)[0].last(), Some(&2));
    }

    #[test]
    fn last_entry_is_in_an_outer_voice_in_all_recommended_orders() {
        // Prout, Fugue, §182.
        for voices in FEWEST_VOICES..=MOST_VOICES {
            for order in recommended_orders(voices) {
                assert!(matches!(order.last(), Some(&last) if last == 0 || last == voices - 1), "{order:?}");
            }
        }
    }

    #[test]
    fn pairs_share_subject_or_answer_in_all_four_part_orders() {
        // Prout, Fugue, §199: treble with tenor, alto with bass.
        for order in recommended_orders(4) {
            let turn = |voice| order.iter().position(|&entering| entering == voice).unwrap() % 2;
            assert_eq!(turn(0), turn(2), "{order:?}");
            assert_eq!(turn(1), turn(3), "{order:?}");
        }
    }
}
