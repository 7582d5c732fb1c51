//! The page in a browser, from its first start to a quote in a customer's hands.

mod access;
mod backup;
mod bad_input;
mod booth;
mod booth_day;
mod buying;
mod first_start;
mod handing_over;
mod keeping;
mod keyboard;
mod links;
mod lists;
mod offline;
mod press;
mod price_files;
mod quote;
mod roster;
mod screens;
mod security;
mod settings;
mod waiting;
