//! The independent check: prices a list of lines from the price list alone.
//!
//! Shares no code with the search, so that a slip there cannot hide itself here.

use super::model::{Line, Plan, Problem, Rest, Unit, Worth};

/// Why lines are no plan for a problem.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// A line names a way or glyph that is not there or is not sold this way.
    Line(usize),
    /// A glyph of a family is not covered.
    Short(usize, usize),
    /// A way is bought beyond what the supplier has.
    Limit(usize),
    /// A supplier's order is below the minimum.
    Minimum(usize),
}

/// Prices the lines: cost, freight and tie rule as the suppliers would count them.
///
/// # Errors
/// Says why the lines are no plan.
pub fn price(problem: &Problem, lines: &[Line]) -> Result<Plan, Fault> {
    let mut units = vec![0_u64; problem.ways.len()];
    let mut got: Vec<Vec<u64>> = problem.families.iter().map(|f| vec![0; f.need.len()]).collect();
    let mut rest = Rest::default();
    for (i, line) in lines.iter().enumerate() {
        let way = problem.ways.get(line.way).ok_or(Fault::Line(i))?;
        units[line.way] += u64::from(line.units);
        rest = rest + Rest::of(line.way, way.pieces(), line.units);
        match (&way.unit, line.glyph) {
            (Unit::Same { n, .. }, Some(glyph)) if way.sells(glyph) && glyph < got[way.family].len() => {
                got[way.family][glyph] += u64::from(*n) * u64::from(line.units);
            }
            (Unit::Mix(contents), None) => {
                for &(glyph, count) in contents {
                    got[way.family][glyph] += u64::from(count) * u64::from(line.units);
                }
            }
            _ => return Err(Fault::Line(i)),
        }
    }
    covered(problem, &got)?;
    let subtotal = subtotals(problem, &units)?;
    let mut freight = vec![0; subtotal.len()];
    let mut cents = 0;
    for (i, supplier) in problem.suppliers.iter().enumerate() {
        let Some(spent) = subtotal[i] else { continue };
        if spent < supplier.min_order {
            return Err(Fault::Minimum(i));
        }
        freight[i] = supplier.freight(spent);
        cents += spent + freight[i];
    }
    let mut lines = lines.to_vec();
    lines.sort_unstable();
    Ok(Plan { lines, subtotal, freight, worth: Worth { cents, rest } })
}

fn covered(problem: &Problem, got: &[Vec<u64>]) -> Result<(), Fault> {
    for (f, family) in problem.families.iter().enumerate() {
        for (g, &need) in family.need.iter().enumerate() {
            if got[f][g] < u64::from(need) {
                return Err(Fault::Short(f, g));
            }
        }
    }
    Ok(())
}

fn subtotals(problem: &Problem, units: &[u64]) -> Result<Vec<Option<i64>>, Fault> {
    let mut subtotal = vec![None; problem.suppliers.len()];
    for (w, way) in problem.ways.iter().enumerate().filter(|&(w, _)| units[w] > 0) {
        if way.at_most.is_some_and(|most| units[w] > u64::from(most)) {
            return Err(Fault::Limit(w));
        }
        let mates = problem.ways.iter().enumerate().filter(|(_, mate)| mate.group == way.group);
        let counted = if way.group.is_some() { mates.map(|(m, _)| units[m]).sum() } else { units[w] };
        let cost = way.price(counted) * i64::try_from(units[w]).unwrap_or(i64::MAX);
        *subtotal[way.supplier].get_or_insert(0) += cost;
    }
    Ok(subtotal)
}

#[cfg(test)]
mod tests {
    use super::super::model::{Family, Step, Supplier, Tier, Way};
    use super::*;

    /// Three of the first glyph and two of the second are needed. Way 0 has at most four pieces of the
    /// first at 10 cents; way 1 packs of two of either at 15, from three on 12; way 2 sets of one each
    /// at 25. Shipping costs 7 up to a dollar, and less than 40 cents are not sold.
    fn problem() -> Problem {
        let way = |unit, cents| Way {
            supplier: 0,
            family: 0,
            unit,
            tiers: vec![Tier { from: 1, cents }],
            at_most: None,
            group: None,
        };
        let piece = Unit::Same { n: 1, glyphs: Some(vec![0]) };
        let mut packs = way(Unit::Same { n: 2, glyphs: None }, 15);
        packs.tiers.push(Tier { from: 3, cents: 12 });
        Problem {
            suppliers: vec![Supplier {
                freight: vec![Step { from: 0, cents: 7 }, Step { from: 100, cents: 0 }],
                min_order: 40,
            }],
            families: vec![Family { need: vec![3, 2] }],
            ways: vec![
                Way { at_most: Some(4), ..way(piece, 10) },
                packs,
                way(Unit::Mix(vec![(0, 1), (1, 1)]), 25),
            ],
        }
    }

    fn line(way: usize, glyph: Option<usize>, units: u32) -> Line {
        Line { way, glyph, units }
    }

    #[test]
    fn lines_are_priced_as_the_supplier_would() {
        let cost = |lines: &[Line]| {
            let plan = price(&problem(), lines).unwrap();
            (plan.subtotal[0], plan.freight[0], plan.worth.cents, plan.worth.rest.letters)
        };
        // 3 x 10 + 15; two packs of one glyph and one of the other reach the break together.
        assert_eq!(cost(&[line(0, Some(0), 3), line(1, Some(1), 1)]), (Some(45), 7, 52, 5));
        assert_eq!(
            cost(&[line(0, Some(0), 1), line(1, Some(0), 2), line(1, Some(1), 1)]),
            (Some(46), 7, 53, 7)
        );
        assert_eq!(cost(&[line(2, None, 4)]), (Some(100), 0, 100, 8));
    }

    #[test]
    fn what_is_no_plan_says_why() {
        let why = |lines: &[Line]| price(&problem(), lines).unwrap_err();
        let pieces = line(0, Some(0), 3);
        assert_eq!(why(&[pieces, line(3, None, 1)]), Fault::Line(1), "no such way");
        assert_eq!(why(&[pieces, line(0, Some(1), 1)]), Fault::Line(1), "not sold by the piece");
        assert_eq!(why(&[pieces, line(1, Some(2), 1)]), Fault::Line(1), "no such glyph");
        assert_eq!(why(&[pieces, line(1, None, 1)]), Fault::Line(1), "a pack of what?");
        assert_eq!(why(&[pieces, line(2, Some(1), 1)]), Fault::Line(1), "a set is of no glyph");
        assert_eq!(why(&[pieces, line(2, None, 1)]), Fault::Short(0, 1));
        assert_eq!(why(&[line(0, Some(0), 5), line(1, Some(1), 1)]), Fault::Limit(0));
        assert_eq!(why(&[line(1, Some(0), 2), line(1, Some(1), 1)]), Fault::Minimum(0));
    }
}
