//! Every mend that names something to type is followed once, in kits that were made for it and in
//! kits drawn by lot: what it stands at is gone or less, and nothing else breaks.

mod files;
mod followed;
mod lot;
mod rules;
mod typed;
pub fn run() {
    let a: Vec<String> = std::env::args().collect();
    match a[1].as_str() {
        "rules" => rules::run(),
        _ => lot::run(a[2].parse().unwrap(), a[3].parse().unwrap(), a.len() > 4),
    }
}
