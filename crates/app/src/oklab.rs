//! Colours between two colours, evenly for the eye: in the Oklab space (B. Ottosson, 2020; its matrices from memory).

use eframe::egui::{Color32, Rgba};

/// The colour that lies a part of the way from one colour to another.
pub(crate) fn between(from: Color32, to: Color32, part: f32) -> Color32 {
    let (a, b) = (to_oklab(from), to_oklab(to));
    from_oklab(std::array::from_fn(|n| a[n] + part * (b[n] - a[n])))
}

/// Lightness 0 to 1, green to red, blue to yellow.
fn to_oklab(colour: Color32) -> [f32; 3] {
    let rgb = Rgba::from(colour);
    let (r, g, b) = (rgb.r(), rgb.g(), rgb.b());
    let l = (0.412_221_47 * r + 0.536_332_54 * g + 0.051_445_995 * b).cbrt();
    let m = (0.211_903_5 * r + 0.680_699_5 * g + 0.107_396_96 * b).cbrt();
    let s = (0.088_302_46 * r + 0.281_718_85 * g + 0.629_978_7 * b).cbrt();
    [
        0.210_454_26 * l + 0.793_617_8 * m - 0.004_072_047 * s,
        1.977_998_5 * l - 2.428_592_2 * m + 0.450_593_7 * s,
        0.025_904_037 * l + 0.782_771_77 * m - 0.808_675_77 * s,
    ]
}

fn from_oklab([lightness, a, b]: [f32; 3]) -> Color32 {
    let l = (lightness + 0.396_337_78 * a + 0.215_803_76 * b).powi(3);
    let m = (lightness - 0.105_561_346 * a - 0.063_854_17 * b).powi(3);
    let s = (lightness - 0.089_484_18 * a - 1.291_485_5 * b).powi(3);
    let rgb = [
        4.076_741_7 * l - 3.307_711_6 * m + 0.230_969_94 * s,
        -1.268_438 * l + 2.609_757_4 * m - 0.341_319_38 * s,
        -0.004_196_086_3 * l - 0.703_418_6 * m + 1.707_614_7 * s,
    ];
    let [r, g, b] = rgb.map(|part| part.clamp(0.0, 1.0));
    Color32::from(Rgba::from_rgb(r, g, b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::theme::{DARK, LIGHT};

    #[test]
    fn colours_survive_the_way_there_and_back() {
        for colour in [Color32::WHITE, Color32::from_rgb(0x13, 0x5E, 0x8C), Color32::from_rgb(250, 3, 90)] {
            let back = from_oklab(to_oklab(colour));
            let off = |a: u8, b: u8| a.abs_diff(b) <= 1;
            assert!(off(back.r(), colour.r()) && off(back.g(), colour.g()) && off(back.b(), colour.b()));
        }
    }

    /// What makes a scale readable without its hues: every step is as much darker, or lighter, as the one before.
    #[test]
    fn equal_steps_of_tension_are_equal_steps_of_lightness() {
        for palette in [LIGHT, DARK] {
            let lightness = |n: u8| to_oklab(crate::theme::tension_colour(&palette, f32::from(n) / 10.0))[0];
            let steps: Vec<f32> = (0..10).map(|n| lightness(n + 1) - lightness(n)).collect();
            let mean = steps.iter().sum::<f32>() / 10.0;
            assert!(mean.abs() > 0.04, "{mean}");
            assert!(steps.iter().all(|step| (step / mean - 1.0).abs() < 0.2), "{steps:?}");
        }
    }
}
