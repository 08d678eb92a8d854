//! Loops over grids as wide as the processor can.

use fearless_simd::{Level, dispatch};

/// Does `work` with the widest vectors of this processor: values of a loop that do not depend on each
/// other are taken several at once. Sums keep their order and no product is fused with a sum, so every
/// processor gives the same bits. Only what is inlined into `work` is widened; `work` itself is to be
/// `#[inline(always)]`.
pub(crate) fn wide<R>(work: impl FnOnce() -> R) -> R {
    dispatch!(Level::new(), _simd => work())
}

/// The largest of `values` and `least`, eight at once: which is looked at first does not matter.
#[inline(always)]
pub(crate) fn largest(values: &[f64], least: f64) -> f64 {
    let mut tops = [least; 8];
    let (eights, rest) = values.as_chunks::<8>();
    for eight in eights {
        for (top, value) in tops.iter_mut().zip(eight) {
            *top = if *value > *top { *value } else { *top };
        }
    }
    tops.iter().chain(rest).copied().fold(least, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Draws, Stream};

    /// The order in which a plain loop adds is the order here, whatever the processor: the same bits.
    #[test]
    fn a_wide_loop_gives_the_bits_of_a_plain_one() {
        let mut draws = Draws::new(4, Stream::Visit, 0);
        for length in [0, 1, 7, 8, 9, 63, 64, 65] {
            let values: Vec<f64> = (0..length).map(|_| draws.between(-3.0, 3.0)).collect();
            let plain = |values: &[f64]| values.iter().fold(0.0, |sum, x| sum + x * 0.1);
            let widened = wide(
                #[inline(always)]
                || plain(&values),
            );
            assert_eq!(widened.to_bits(), plain(&values).to_bits(), "{length}");
        }
    }

    #[test]
    fn the_largest_is_found_wherever_it_stands() {
        for length in [1, 7, 8, 9, 17] {
            for at in 0..length {
                let mut values = vec![-2.0; length];
                values[at] = 5.0;
                assert!((largest(&values, -1.0) - 5.0).abs() < f64::EPSILON);
            }
        }
        assert!((largest(&[-2.0; 9], -1.0) + 1.0).abs() < f64::EPSILON);
        assert!((largest(&[], 3.0) - 3.0).abs() < f64::EPSILON);
    }
}
