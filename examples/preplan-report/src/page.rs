//! The shell of every page: one self-contained HTML file, its style inside, its identity on every sheet.

use crate::identity::Identity;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const TOKENS: &str = include_str!("../style/tokens.css");
const BASE: &str = include_str!("../style/base.css");
pub(crate) const CARD: &str = include_str!("../style/card.css");

/// By this a page is known as one of this program's.
pub(crate) const GENERATOR: &str = "<meta name=\"generator\" content=\"preplan-report\">";

/// What stands at the head of every printed sheet, and once on a screen.
fn sheet_head(title: &str, identity: &Identity) -> Markup {
    let document = &identity.document;
    let entries = [
        ("kit", &document.kit),
        ("date", &document.date),
        ("revision", &document.revision),
        ("by", &document.author),
        ("approved", &document.approver),
    ];
    html! {
        div class="sheet-head" {
            b { (title) }
            @for (name, value) in entries {
                span { (name) " " @if value.is_empty() { i {} } @else { b { (value) } } }
            }
            span { "input " b { (identity.input) } }
            span { "version " b { (identity.version) } }
        }
    }
}

/// A page with its identity on every sheet.
pub(crate) fn page(title: &str, identity: &Identity, style: &[&str], script: &str, body: &Markup) -> String {
    let sheets = html! {
        table class="sheets" role="presentation" {
            thead { tr { td { (sheet_head(title, identity)) } } }
            tbody { tr { td { main { (body) } } } }
        }
        @if !script.is_empty() { script { (PreEscaped(script)) } }
    };
    whole(title, style, &sheets)
}

/// A page that belongs to no single input.
pub(crate) fn plain(title: &str, style: &[&str], body: &Markup) -> String {
    whole(title, style, &html! { main { (body) } })
}

fn whole(title: &str, style: &[&str], body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                (PreEscaped(GENERATOR))
                title { (title) }
                style { (PreEscaped(TOKENS)) (PreEscaped(BASE)) @for part in style { (PreEscaped(*part)) } }
            }
            body { (body) }
        }
    }
    .into_string()
}
