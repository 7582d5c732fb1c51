//! How far a search has come, as a share that never goes back.

use super::Solver;

/// The whole of [`Solver::progress`].
pub const WHOLE: u16 = 1000;
/// The share at which every case has a bound.
const BOUNDED: u16 = 100;
/// The share at which the bound has met the best cost, so that only ties are left.
const PROVEN: u16 = 900;

/// What the share is reckoned from.
#[derive(Debug, Default)]
pub(super) struct Progress {
    share: u16,
    /// The least bound when every case had one.
    first: Option<i64>,
}

impl Solver {
    /// How far the search has come, from 0 to [`WHOLE`]: it never goes back, and is the whole
    /// exactly when the search is done.
    ///
    /// It measures what is proven, in three parts: cases that have a bound (to a tenth), how
    /// much of the gap between the first bound and the best cost is closed (to nine tenths),
    /// and cases exhausted for the tie rule. It is no promise of time: the last cents of a gap
    /// often take longest, and a much better plan can close most of it at once.
    pub fn progress(&self) -> u16 {
        self.progress.share
    }

    /// Brings the share up to what is known by now.
    pub(super) fn advance_progress(&mut self) {
        let share = if self.done { WHOLE } else { self.proven_share().min(WHOLE - 1) };
        self.progress.share = self.progress.share.max(share);
    }

    fn proven_share(&mut self) -> u16 {
        let bounds = || self.nodes.iter().map(|node| node.bound);
        let bound = bounds().min().unwrap_or(0);
        let bounded = self.nodes.iter().filter(|node| !node.is_unbounded()).count();
        if self.progress.first.is_none() && bounded < self.nodes.len() {
            return part_of(bounded as i64, self.nodes.len() as i64, 0, BOUNDED);
        }
        let first = *self.progress.first.get_or_insert(bound);
        let Some(best) = self.best.as_ref().map(|plan| plan.worth.cents) else { return BOUNDED };
        if bound < best {
            return part_of(bound - first, best - first, BOUNDED, PROVEN);
        }
        let tied = self.nodes.iter().filter(|node| node.bound <= best);
        let exhausted = tied.clone().filter(|node| node.exhausted).count();
        part_of(exhausted as i64, tied.count() as i64, PROVEN, WHOLE)
    }
}

/// The share between two that stands for `done` of `all`.
fn part_of(done: i64, all: i64, from: u16, to: u16) -> u16 {
    let span = i64::from(to - from);
    let part = if all > 0 { (span * done.clamp(0, all)) / all } else { span };
    from + u16::try_from(part).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::part_of;

    #[test]
    fn a_share_keeps_between_its_ends() {
        assert_eq!(part_of(0, 8, 100, 900), 100);
        assert_eq!(part_of(3, 8, 100, 900), 400);
        assert_eq!(part_of(8, 8, 100, 900), 900);
        assert_eq!([part_of(-1, 8, 100, 900), part_of(9, 8, 100, 900)], [100, 900]);
        assert_eq!(part_of(0, 0, 100, 900), 900);
    }
}
