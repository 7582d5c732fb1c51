//! The solver as WebAssembly for a page or Node.js: for measuring it beside a general one.
//!
//! Built and loaded by `tools/bench-general`. Loading it gives JavaScript a function `buyMix`,
//! which takes a problem as JSON (`docs/buy-problem.md`) and gives its least cost in cents;
//! `undefined` where none was proven.

#[cfg(target_arch = "wasm32")]
#[path = "../tests/buy_json/mod.rs"]
mod buy_json;

#[cfg(target_arch = "wasm32")]
mod script {
    use super::buy_json;
    use lettertally::buy::solver::{Solver, Status};
    use wasm_bindgen::JsValue;
    use wasm_bindgen::prelude::Closure;

    fn least_cost(text: &str) -> Option<i64> {
        let problem = buy_json::read(text).ok()?.problem;
        let outcome = Solver::new(problem).ok()?.run(|_| true);
        outcome.plan.filter(|_| outcome.status == Status::Optimal).map(|plan| plan.worth.cents)
    }

    pub fn offer() {
        let answer = |text: String| least_cost(&text).map(|cents| cents as f64);
        let answer = Closure::<dyn Fn(String) -> Option<f64>>::new(answer).into_js_value();
        // Setting a name on the global object cannot fail.
        drop(js_sys::Reflect::set(&js_sys::global(), &JsValue::from_str("buyMix"), &answer));
    }
}

#[cfg(target_arch = "wasm32")]
fn main() {
    script::offer();
}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    println!("This is the solver for JavaScript: tools/bench-general builds it and runs it.");
}
