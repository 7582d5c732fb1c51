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
