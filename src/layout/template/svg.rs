//! A template as one SVG text in millimetres, for those who cut a template by machine.

use super::{Kind, Shape, Template};
use std::fmt::Write;

/// The whole drawing as SVG, at true size.
pub fn svg(template: &Template) -> String {
    let sheet = &template.sheet;
    let mm = crate::length::Length::to_drawing;
    let (width, height) = (mm(sheet.width()), mm(sheet.height()));
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"{} {} {width} {height}\">\n<title>{}</title>\n<desc>True size, in millimetres: check one length before use.</desc>\n",
        mm(sheet.left),
        mm(sheet.top),
        escaped(&template.title)
    );
    for shape in &template.shapes {
        let _ = match shape {
            Shape::Path { kind, .. } => {
                let dashes = match kind {
                    Kind::Centre => " stroke-dasharray=\"6 2 1 2\"",
                    Kind::Baseline | Kind::Garment => " stroke-dasharray=\"3 2\"",
                    Kind::Letter | Kind::Mark => "",
                };
                writeln!(
                    text,
                    "<path class=\"{}\" d=\"{}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.25\"{dashes}/>",
                    kind.word(),
                    shape.path()
                )
            }
            Shape::Words { at, words } => writeln!(
                text,
                "<text x=\"{}\" y=\"{}\" font-family=\"sans-serif\" font-size=\"3.5\">{}</text>",
                mm(at.0),
                mm(at.1),
                escaped(words)
            ),
        };
    }
    text.push_str("</svg>\n");
    text
}

fn escaped(text: &str) -> String {
    let sign = |c: char| match c {
        '&' => "&amp;".to_owned(),
        '<' => "&lt;".to_owned(),
        '>' => "&gt;".to_owned(),
        '"' => "&quot;".to_owned(),
        // What no XML may hold.
        other if other.is_control() => "\u{fffd}".to_owned(),
        other => other.to_string(),
    };
    text.chars().map(sign).collect()
}

#[cfg(test)]
mod tests {
    use super::super::{Rect, Template};
    use super::*;
    use crate::length::Length;

    #[test]
    fn the_file_is_at_true_size_and_names_cannot_break_it() {
        let template = Template {
            title: "O'Dell <7> & \u{1}".into(),
            shapes: vec![Shape::line(
                Kind::Letter,
                (Length::ZERO, Length::ZERO),
                (Length::inches(4), Length::mm(10)),
            )],
            sheet: Rect::sized(Length::mm(-5), Length::mm(-5), Length::mm(150), Length::mm(30)),
        };
        let text = svg(&template);
        assert!(text.contains("width=\"150mm\" height=\"30mm\" viewBox=\"-5 -5 150 30\""), "{text}");
        assert!(text.contains("d=\"M0 0L101.6 10\""), "{text}");
        assert!(text.contains("<title>O'Dell &lt;7&gt; &amp; \u{fffd}</title>"), "{text}");
    }
}
