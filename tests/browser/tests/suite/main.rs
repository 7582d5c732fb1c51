//! The page in a browser, from its first start to a quote in a customer's hands.

mod first_start;
