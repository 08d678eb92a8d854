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
