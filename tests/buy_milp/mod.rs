//! The buying problem as a mixed-integer linear programme, for a general solver (microlp).
//! Shares nothing with the project's own solver. Break groups are not modelled.
//!
//! Per way and glyph a count of units; per way and price tier the units bought in it and
//! whether it is the one; per supplier and freight step what is spent in it and whether it is
//! the one.

use lettertally::buy::solver::model::{Problem, Unit};
use std::time::Duration;

use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Variable};

/// How long the general solver may take.
pub const LIMIT: Duration = Duration::from_secs(10);

/// No sensible plan costs more: every glyph bought in the cheapest single way, every threshold
/// reached besides, the dearest freight everywhere.
fn ceiling(problem: &Problem) -> i64 {
    let alone = |f: usize, g: usize, need: u32| {
        let ours = problem.ways.iter().filter(|way| way.family == f && way.sells(g));
        let cost = |way: &lettertally::buy::solver::model::Way| {
            let n = match &way.unit {
                Unit::Same { n, .. } => *n,
                Unit::Mix(contents) => contents.iter().filter(|held| held.0 == g).map(|held| held.1).sum(),
            };
            way.tiers[0].cents * i64::from(need.div_ceil(n))
        };
        ours.map(cost).max().unwrap_or(0)
    };
    let families = problem.families.iter().enumerate();
    let covers: i64 = families
        .flat_map(|(f, family)| family.need.iter().enumerate().map(move |(g, &need)| alone(f, g, need)))
        .sum();
    let freight = |s: &lettertally::buy::solver::model::Supplier| {
        s.freight.iter().map(|step| step.cents).max().unwrap_or(0) + s.min_order
    };
    covers + problem.suppliers.iter().map(freight).sum::<i64>()
}

/// The least cost in cents, if the general solver finds it.
#[allow(clippy::float_arithmetic, clippy::cast_possible_truncation)]
pub fn solve(problem: &Problem) -> Option<i64> {
    let mut milp = microlp::Problem::new(OptimizationDirection::Minimize);
    let mut covers: Vec<Vec<LinearExpr>> =
        problem.families.iter().map(|f| vec![LinearExpr::empty(); f.need.len()]).collect();
    let mut spent: Vec<Vec<(Variable, f64)>> = vec![Vec::new(); problem.suppliers.len()];
    let thresholds =
        problem.suppliers.iter().flat_map(|s| s.freight.iter().map(|f| f.from).chain([s.min_order]));
    let reach = thresholds.max().unwrap_or(0);
    for way in &problem.ways {
        let need = &problem.families[way.family].need;
        let letters: i64 = need.iter().map(|&n| i64::from(n)).sum();
        let last = way.tiers.last()?;
        let cheapest = way.tiers.iter().map(|tier| tier.cents).min()?.max(1);
        let most = letters + i64::from(last.from) + reach / cheapest + 1;
        let most = way.at_most.map_or(most, |limit| most.min(i64::from(limit)));
        let alone = if way.tiers.len() == 1 { last.cents as f64 } else { 0.0 };
        let mut parts: Vec<Variable> = Vec::new();
        match &way.unit {
            Unit::Mix(contents) => {
                let units = milp.add_integer_var(alone, (0, most as i32));
                for &(glyph, n) in contents.iter().filter(|held| need[held.0] > 0) {
                    covers[way.family][glyph].add(units, f64::from(n));
                }
                parts.push(units);
            }
            Unit::Same { n, .. } => {
                for glyph in (0..need.len()).filter(|&glyph| need[glyph] > 0 && way.sells(glyph)) {
                    // No cover takes more of one way than covers the need alone.
                    let enough = i64::from(need[glyph].div_ceil((*n).max(1))).min(most);
                    let units = milp.add_integer_var(alone, (0, enough as i32));
                    covers[way.family][glyph].add(units, f64::from(*n));
                    parts.push(units);
                }
                if (reach > 0 || last.from > 1) && (0..need.len()).any(|glyph| way.sells(glyph)) {
                    // Units beyond any cover, for a threshold or a break.
                    parts.push(milp.add_integer_var(alone, (0, most as i32)));
                }
            }
        }
        if let [tier] = way.tiers.as_slice() {
            // One price: the units carry it themselves.
            spent[way.supplier].extend(parts.iter().map(|&units| (units, tier.cents as f64)));
            if way.at_most.is_some() {
                milp.add_constraint(
                    parts.iter().map(|&units| (units, 1.0)).collect::<Vec<_>>(),
                    ComparisonOp::Le,
                    most as f64,
                );
            }
            continue;
        }
        let mut balance: Vec<(Variable, f64)> = parts.iter().map(|&units| (units, 1.0)).collect();
        let mut one = Vec::new();
        for (t, tier) in way.tiers.iter().enumerate() {
            let end = way.tiers.get(t + 1).map_or(most, |next| (i64::from(next.from) - 1).min(most));
            if i64::from(tier.from) > end {
                continue;
            }
            let bought = milp.add_var(tier.cents as f64, (0.0, end as f64));
            let chosen = milp.add_binary_var(0.0);
            milp.add_constraint([(bought, 1.0), (chosen, -f64::from(tier.from))], ComparisonOp::Ge, 0.0);
            milp.add_constraint([(bought, 1.0), (chosen, -(end as f64))], ComparisonOp::Le, 0.0);
            balance.push((bought, -1.0));
            one.push((chosen, 1.0));
            spent[way.supplier].push((bought, tier.cents as f64));
        }
        milp.add_constraint(balance, ComparisonOp::Eq, 0.0);
        milp.add_constraint(one, ComparisonOp::Le, 1.0);
    }
    for (family, covers) in problem.families.iter().zip(covers) {
        for (&need, cover) in family.need.iter().zip(covers).filter(|(need, _)| **need > 0) {
            milp.add_constraint(cover, ComparisonOp::Ge, f64::from(need));
        }
    }
    let ceiling = ceiling(problem).max(reach);
    for (supplier, mut balance) in problem.suppliers.iter().zip(spent) {
        if supplier.freight.iter().all(|step| step.cents == 0) && supplier.min_order == 0 {
            continue;
        }
        let mut steps: Vec<(i64, i64)> =
            supplier.freight.iter().map(|step| (step.from, step.cents)).collect();
        if steps.first().is_none_or(|step| step.0 > 0) {
            steps.insert(0, (0, 0));
        }
        let mut least = balance.clone();
        let mut one = Vec::new();
        for (k, &(from, cents)) in steps.iter().enumerate() {
            let end = steps.get(k + 1).map_or(ceiling, |next| next.0 - 1);
            let from = from.max(supplier.min_order);
            if from > end {
                continue;
            }
            let chosen = milp.add_binary_var(cents as f64);
            least.push((chosen, -(from as f64)));
            balance.push((chosen, -(end as f64)));
            one.push((chosen, 1.0));
        }
        milp.add_constraint(least, ComparisonOp::Ge, 0.0);
        milp.add_constraint(balance, ComparisonOp::Le, 0.0);
        milp.add_constraint(one, ComparisonOp::Le, 1.0);
    }
    milp.set_time_limit(LIMIT);
    let outcome = milp.solve().ok()?;
    if outcome.termination_reason() != microlp::TerminationReason::ProvenOptimal {
        return None;
    }
    let solution = outcome.into_solution().ok()?;
    Some(solution.objective().round() as i64)
}
