//! Buying problems as JSON, for the example, the tests and the bench.
//! The format is described in `docs/buy-problem.md`.

use lettertally::buy::solver::model::{Family, Problem, Refusal, Step, Supplier, Tier, Unit, Way};
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Deserialize)]
struct Record {
    suppliers: Vec<SupplierRecord>,
    families: Vec<FamilyRecord>,
    ways: Vec<WayRecord>,
}

#[derive(Deserialize)]
struct SupplierRecord {
    id: String,
    #[serde(default)]
    freight: Vec<StepRecord>,
    #[serde(default)]
    min_order: i64,
}

#[derive(Deserialize)]
struct StepRecord {
    from: i64,
    cents: i64,
}

#[derive(Deserialize)]
struct FamilyRecord {
    id: String,
    #[serde(default)]
    demand: BTreeMap<String, u32>,
    #[serde(default)]
    stock: BTreeMap<String, u32>,
}

#[derive(Deserialize)]
struct WayRecord {
    id: String,
    supplier: String,
    family: String,
    kind: String,
    #[serde(default)]
    n: u32,
    tiers: Vec<TierRecord>,
    #[serde(default)]
    assortment: BTreeMap<String, u32>,
    glyphs: Option<String>,
    at_most: Option<u32>,
    break_group: Option<String>,
}

#[derive(Deserialize)]
struct TierRecord {
    from: u32,
    cents: i64,
}

/// A problem with the names that its indices stand for.
#[derive(Debug, Clone)]
#[allow(dead_code)]
pub struct Named {
    pub problem: Problem,
    pub suppliers: Vec<String>,
    pub families: Vec<String>,
    pub ways: Vec<String>,
    /// Per family the glyphs by index.
    pub glyphs: Vec<Vec<String>>,
}

#[allow(dead_code)]
impl Named {
    /// The name of a glyph that a way holds.
    pub fn glyph(&self, way: usize, glyph: usize) -> &str {
        &self.glyphs[self.problem.ways[way].family][glyph]
    }

    /// A refusal in the names of the file.
    pub fn explain(&self, refusal: &Refusal) -> String {
        match *refusal {
            Refusal::Dangling(way) | Refusal::Empty(way) | Refusal::Breaks(way) | Refusal::Group(way) => {
                format!("{}: {refusal}", self.ways[way])
            }
            Refusal::Steps(supplier) => format!("{}: {refusal}", self.suppliers[supplier]),
            Refusal::Negative | Refusal::TooLarge(_) => refusal.to_string(),
        }
    }
}

/// Reads a problem.
pub fn read(text: &str) -> Result<Named, String> {
    let record: Record = serde_json::from_str(text).map_err(|e| format!("not a buying problem: {e}"))?;
    let suppliers: Vec<String> = record.suppliers.iter().map(|s| s.id.clone()).collect();
    let families: Vec<String> = record.families.iter().map(|f| f.id.clone()).collect();
    distinct("supplier", &suppliers)?;
    distinct("family", &families)?;
    let ways: Vec<String> = record.ways.iter().map(|w| w.id.clone()).collect();
    distinct("way", &ways)?;
    let glyphs: Vec<Vec<String>> =
        record.families.iter().map(|family| glyphs_of(family, &record.ways)).collect();
    let mut problem = Problem::default();
    for supplier in &record.suppliers {
        let freight = supplier.freight.iter().map(|s| Step { from: s.from, cents: s.cents }).collect();
        problem.suppliers.push(Supplier { freight, min_order: supplier.min_order });
    }
    for (family, glyphs) in record.families.iter().zip(&glyphs) {
        let count = |counts: &BTreeMap<String, u32>, glyph: &str| counts.get(glyph).copied().unwrap_or(0);
        let net = |glyph: &String| count(&family.demand, glyph).saturating_sub(count(&family.stock, glyph));
        problem.families.push(Family { need: glyphs.iter().map(net).collect() });
    }
    let mut groups: Vec<&String> = record.ways.iter().filter_map(|way| way.break_group.as_ref()).collect();
    groups.sort_unstable();
    for way in &record.ways {
        problem.ways.push(way_of(way, &suppliers, &families, &glyphs, &groups)?);
    }
    Ok(Named { problem, suppliers, families, ways, glyphs })
}

fn distinct(what: &str, names: &[String]) -> Result<(), String> {
    let mut sorted = names.to_vec();
    sorted.sort_unstable();
    match sorted.windows(2).find(|pair| pair[0] == pair[1]) {
        Some(pair) => Err(format!("two of kind {what} are called “{}”", pair[0])),
        None => Ok(()),
    }
}

fn glyphs_of(family: &FamilyRecord, ways: &[WayRecord]) -> Vec<String> {
    let mut glyphs: Vec<String> = family.demand.keys().chain(family.stock.keys()).cloned().collect();
    for way in ways.iter().filter(|way| way.family == family.id) {
        glyphs.extend(way.assortment.keys().cloned());
        glyphs.extend(way.glyphs.iter().flat_map(|only| only.chars()).map(String::from));
    }
    glyphs.sort_unstable();
    glyphs.dedup();
    glyphs
}

fn way_of(
    way: &WayRecord,
    suppliers: &[String],
    families: &[String],
    glyphs: &[Vec<String>],
    groups: &[&String],
) -> Result<Way, String> {
    let missing = |what: &str, name: &str| format!("{}: there is no {what} “{name}”", way.id);
    let supplier = suppliers.iter().position(|id| *id == way.supplier);
    let supplier = supplier.ok_or_else(|| missing("supplier", &way.supplier))?;
    let family = families.iter().position(|id| *id == way.family);
    let family = family.ok_or_else(|| missing("family", &way.family))?;
    let place = |glyph: &str| glyphs[family].iter().position(|known| known == glyph).unwrap_or(usize::MAX);
    let unit = match way.kind.as_str() {
        "piece" | "pack" => Unit::Same {
            n: if way.kind == "piece" { way.n.max(1) } else { way.n },
            glyphs: way.glyphs.as_ref().map(|only| only.chars().map(|c| place(&c.to_string())).collect()),
        },
        "set" => Unit::Mix(way.assortment.iter().map(|(glyph, &count)| (place(glyph), count)).collect()),
        other => return Err(format!("{}: “{other}” is no kind; expected piece, pack or set", way.id)),
    };
    let tiers = way.tiers.iter().map(|tier| Tier { from: tier.from, cents: tier.cents }).collect();
    let group = way.break_group.as_ref().map(|name| groups.partition_point(|other| *other < name));
    Ok(Way { supplier, family, unit, tiers, at_most: way.at_most, group })
}
