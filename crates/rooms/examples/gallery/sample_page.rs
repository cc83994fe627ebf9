//! A page with one of everything in the style sheet. Words and numbers are invented.

use super::pictures;
use wakewright_picture::{Frame, Theme};

/// The page in that theme, laid out for that width.
pub fn page(theme: &str, width_px: f64) -> String {
    let all = pictures::all();
    let inner = (width_px - 2.0 * (width_px * 0.03).clamp(14.0, 32.0)).min(1152.0 - 64.0);
    let (plot_px, ladder_px) =
        if width_px >= 992.0 { ((inner - 40.0) * 1.9 / 2.9, (inner - 40.0) / 2.9) } else { (inner, inner) };
    let svg = |name: &str, width: f64| {
        all.iter()
            .find(|(n, _)| *n == name)
            .map(|(_, p)| p.to_svg(&Frame::new(width.floor(), Theme::Page, name)))
            .unwrap_or_default()
    };
    TEMPLATE
        .replace("{theme}", theme)
        .replace("{torque}", &svg("torque", plot_px))
        .replace("{ladder}", &svg("ladder", ladder_px))
        .replace("{profile}", &svg("ketch", inner))
}

const TEMPLATE: &str = r##"<!doctype html>
<html lang="en" data-theme="{theme}">
<head>
<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Style sheet</title>
<link rel="stylesheet" href="style.css">
</head>
<body>
<a class="skip" href="#content">To the content</a>
<header class="masthead">
  <a class="name" href="#">Wakewright</a>
  <span class="boat">Fennel, invented pilot-house ketch</span>
  <nav class="pages" aria-label="Pages">
    <section><h2 id="g1">shop</h2><ul aria-labelledby="g1"><li><a href="#">Boats</a></li></ul></section>
    <section><h2 id="g2">this boat</h2><ul aria-labelledby="g2"><li><a href="#">Boat</a></li>
      <li><a href="#" aria-current="page">Drive</a></li><li><a href="#">Range</a></li></ul></section>
  </nav>
</header>
<main id="content">
  <p class="sentence">At full throttle she makes <strong>6.0 kn at 647 rpm</strong>; the <strong class="binds">phase current</strong> stops her, and 0.7 kn is left unused.</p>
  <p class="under-sentence">Slime on the bottom, 79.7 V at rest, flat water. 80 % sure between 5.4 and 6.3 kn. Next to bind: the motor’s heat.</p>
  <div class="pair">
    <figure><figcaption>What the drive can reach, what the propeller asks</figcaption>{torque}<div class="readout" aria-live="polite">647 rpm: she asks 128 N m</div></figure>
    <figure><figcaption>Where each watt goes</figcaption>{ladder}</figure>
  </div>
  <div class="sliders">
    <div class="slider"><label for="pitch">pitch</label><output for="pitch">15 in</output><input type="range" id="pitch" min="10" max="20" value="15"></div>
    <div class="slider"><label for="ratio">reduction</label><output for="ratio">2.20 : 1</output><input type="range" id="ratio" min="1" max="4" step=".1" value="2.2"></div>
    <div class="slider"><label for="bottom">bottom</label><output for="bottom">slime</output><input type="range" id="bottom" min="0" max="4" value="1"></div>
  </div>
  <div class="scroll"><table>
    <caption>Along the throttle</caption>
    <thead><tr><th scope="col" class="number">shaft, rpm</th><th scope="col" class="number">speed, kn</th><th scope="col" class="number">torque, N m</th><th scope="col" class="number">from the bank, kW</th><th scope="col">what stops her</th></tr></thead>
    <tbody>
      <tr><td class="number">400</td><td class="number">3.8</td><td class="number">49</td><td class="number">2.77</td><td>nothing</td></tr>
      <tr><td class="number">542</td><td class="number">5.1</td><td class="number">89</td><td class="number">6.35</td><td>nothing</td></tr>
      <tr class="binds"><td class="number">647</td><td class="number">6.0</td><td class="number">128</td><td class="number">10.67</td><td>phase current</td></tr>
    </tbody></table></div>
  <div>Speed <details class="origin"><summary>6.0 kn</summary><div class="basis"><dl><dt>formula</dt><dd>torque asked = torque left at this current</dd><dt>stands on</dt><dd>displacement 15.6 t <span class="mark estimated">estimated</span></dd><dt>valid for</dt><dd>displacement speeds</dd><dt>80 % sure</dt><dd>5.4–6.3 kn</dd></dl></div></details> with the bottom as found. Cable <span class="verdict passes">passes</span>, main fuse <span class="verdict fails">does not pass</span>.</div><br>
  <div class="caution" role="note"><strong>Caution</strong><p>Work on a propeller only with the bank isolated and the shaft locked. Follow local codes and the maker’s instructions.</p></div>
  <p class="notice">Outside the range for which the formula was published: speed over hull speed.</p>
  <figure><figcaption>From the side, to scale</figcaption>{profile}</figure>
  <h2>Survey sheet</h2>
  <div class="sheet">
    <div class="field"><label for="lwl">length of the waterline</label><input id="lwl" class="number" value="10.95 m"><span class="mark measured">measured</span><span class="help">Stem to stern at the water, with a tape along the pontoon.</span></div>
    <div class="field"><label for="dis">displacement</label><input id="dis" class="number" value="15.6 t"><span class="mark estimated">estimated</span><span class="help">From length, beam and draught.</span></div>
    <div class="field"><label for="pitch2">pitch</label><input id="pitch2" class="number" value="150 in" aria-invalid="true" aria-describedby="pitch2-fault"><span class="mark assumed">assumed</span><span class="help">Stamped on the hub.</span><p class="fault" id="pitch2-fault">150 in is more than six diameters; did you mean 15.0 in?</p></div>
    <div class="field"><label for="form">bank</label><select id="form"><option>lithium iron phosphate</option></select><span class="mark invented">invented</span><span class="help">Demo data.</span></div>
  </div>
  <div class="buttons"><button class="main">Save the sheet</button><button>Compare</button><button class="quiet">Leave it</button><button disabled>Print</button></div>
  <h2>Two records differ</h2>
  <div class="conflict">
    <section><h3>Yours</h3><dl><dt>pitch</dt><dd class="differs">15 in</dd><dt>diameter</dt><dd>22 in</dd></dl><button>Keep yours</button></section>
    <section><h3>Saved meanwhile</h3><dl><dt>pitch</dt><dd class="differs">13 in</dd><dt>diameter</dt><dd>22 in</dd></dl><button>Take this</button></section>
  </div>
</main>
</body></html>
"##;
