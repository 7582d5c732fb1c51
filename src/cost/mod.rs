//! Cost, then price: what an order costs the shop, and what it asks for it.
//!
//! Owns every formula of cost, price, margin and break-even. All of it is exact decimal
//! arithmetic; amounts become whole cents only where a customer or the shop reads a total.

pub mod letters;
pub mod price;
mod priced;
pub mod same_price;
pub mod sheet;
pub mod sweep;
pub mod table;
pub mod together;

pub use letters::LetterCosts;
pub use price::PriceError;
pub use priced::{Priced, UnitPrice};
pub use sheet::{CostKind, Sheet, UnitCost};
pub use table::RunPrice;
pub use together::{Basket, LineUse, OneByOne};
