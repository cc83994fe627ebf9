//! Words of column names in eleven languages, with and without accents: which ideas a name holds.
//! English, French, German, Dutch, Spanish, Italian, Swedish, Danish, Norwegian, Finnish, Portuguese.
//!
//! Source: common practice, no source; the languages' own words for instruments. Not for: what a
//! set of ideas measures (`meaning`).

/// An idea that a word of a column name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Idea {
    Volt,
    Amp,
    Watt,
    Turning,
    Speed,
    Ground,
    Water,
    Surface,
    Depth,
    Temperature,
    ChargeState,
    Throttle,
    Wind,
    Angle,
    Direction,
    Course,
    Heading,
    Latitude,
    Longitude,
    Heel,
    Pitch,
    Variation,
    Motor,
    Shaft,
    Battery,
    Drive,
    Total,
    Input,
    House,
    Cell,
    Extreme,
    Phase,
    Solar,
    Charger,
    Load,
    Limit,
    Status,
    Hours,
    Energy,
    Charge,
    Distance,
    True,
    Magnetic,
    Apparent,
    Air,
    Controller,
    Time,
    Date,
    Elapsed,
    Out,
    Mean,
}

use std::sync::LazyLock;

use crate::fold::fold;
use Idea as I;

/// Words by idea. `=` before a word: the whole word only; else it may stand within a longer one, as
/// languages that join words write it. The first that fits a word counts.
static WORDS: &[(Idea, &str)] = &[
    (I::Energy, "=wh =kwh energy energie energi energia watthour wattstunden"),
    (I::Charge, "=ah =mah amphour amperehour amperestunde capacit kapazitat kapacitet kapasiteetti consumed"),
    (
        I::ChargeState,
        "=soc ladezustand stateofcharge ladegrad ladestand laadtoestand laadstatus laddniva \
         laddningsniva ladetilstand varaustila varaustaso",
    ),
    (
        I::Hours,
        "hours =hrs =hour betriebsstunden stunden heures draaiuren horametro horas =ore timmar \
         driftstimer kayttotunnit tunnit",
    ),
    (
        I::Distance,
        "distance =trip =odo odometer =vmg =vmc vertical =climb =vvel strecke afstand distanza distancia distans matka",
    ),
    (I::Latitude, "=lat latitud =breite breitengrad breedte breddgrad breddegrad =leveys leveysaste =bredde"),
    (
        I::Longitude,
        "=lon =lng =long longit =lange =laenge langengrad laengengrad lengte lengdegrad langdgrad \
         laengdegrad longitud =pituus pituusaste",
    ),
    (I::Variation, "variation variacion missweisung declination variazione"),
    (
        I::Status,
        "status fault error =err flag alarm =code warning =mode fehler defaut quality =hdop =vdop =pdop =sats \
         satell accuracy genauigkeit precision precisione nauwkeurig noggrannhet =hacc =vacc =sacc",
    ),
    (
        I::Limit,
        "limit target setpoint command =cmd request =req =ref =set demand =soll sollwert consigne \
         gewenst allowed =nominal =rated maxallowed forecast",
    ),
    (
        I::Mean,
        "=avg =ave =average =mean mittelw mittelst mittelsp =mittel medelstr medelsp medeleff keskivir keskijan durchschnitt =moyen =moyenne =media =medio gemiddeld \
         =medel medelv gennemsnit gjennomsnitt keskiarvo",
    ),
    (I::Solar, "solar =pv =sol solcell solpan placas panel panneau solaire zonnepan aurinko mppt =sun =zon"),
    (
        I::Charger,
        "charger charging dcdc ladegerat ladestrom alternator lichtmaschine alternateur generat =shore \
         shorepower laadstroom laadspanning walstroom landstrom chargeur dynamo laddare laddstrom laddspann cargador carregador caricabatter dynastart \
         lader laturi regen",
    ),
    (
        I::House,
        "=house houseb service =aux auxiliary =start starter anlasser =bow bowthruster bugstrahl \
         =hotel domestic servitude demarrage arranque avviamento =bord bordnetz boordnet boordspan boordaccu =boord logic verbraucherb servizi \
         servicio servico =forbruk forbruksb forbruksspen forbrug forbrukning forbrukar start hupi kaytto engineb windlass thruster =fan lufter ventilat =pump pumpe bilge",
    ),
    (I::Cell, "cell zelle cellule celda celula kenno =celle"),
    (
        I::Extreme,
        "=min =max minimum maximum highest lowest peak =mini =maxi spread =delta =diff hochste \
         niedrigste gust spitze",
    ),
    (
        I::Phase,
        "=field feldstrom excitation erregung torque drehmoment couple =line =linje =phase phasen fasestro fasespen fasespaen fasstro fasspann vaihevirta vaihejann =ph =rms =iq =iu =iv =iw =uu =uv =uw =vd =vq =ud =uq =axis =ac =ia =ib =ic quadrature =fase =phases \
         wicklung =stator =vaihe",
    ),
    (
        I::Controller,
        "controller =output ausgang =sortie =uscita =salida inverter =regler motorregler variateur omvormer mosfet heatsink =fet umrichter",
    ),
    (
        I::Apparent,
        "apparent scheinbar =relative schijnba skenbar tilsyneladende =aws =awa aparente \
         nakennainen naennainen tilsynelatende",
    ),
    (I::Wind, "wind =vent vento viento vind tuuli tuulen =tws =twa =twd =aws =awa"),
    (
        I::Throttle,
        "throttle =thr =lever gashebel fahrhebel manette gashendel acelerador =gas gasreglage kaasu \
         manetta leverposition gashandtag gashandel",
    ),
    (
        I::Heading,
        "heading =hdg =hdm =hdt steuerkurs =cap compass kompass kompas bussola =prua =proa \
         ohjaussuunta keulasuunta =brujula",
    ),
    (I::Course, "=kug =kueg =cog course kurs =route koers rumbo =rotta =rumo =track bearing"),
    (I::Surface, "surface superficie"),
    (I::Temperature, "temp lampotila lampo"),
    (I::Depth, "depth tiefe profond diepte profundidad profundidade =prof djup dybde syvyys dypde echolot"),
    (I::Heel, "=heel =roll krangung gite kranging helling =list"),
    (I::Pitch, "=pitch =trim stampf"),
    (
        I::Turning,
        "rpm drehzahl umdrehung =revs =rev revolut revoluc toerental toeren =tours =regime =regimen \
         =giri varvtal =varv omdrej omdrein turtall kierros =obroty rotacao rotacoes rotations rotation",
    ),
    (
        I::Volt,
        "volt spannung =spg =spann tension =tens voltaje spanning spaending spending spenning jannite tensao =napiecie =vbat \
         =vbatt =udc =vdc =ubat =ubatt",
    ),
    (
        I::Amp,
        "=amp =amps amper =curr =corr current courant stroom corrente corriente =virta virta intensite \
         intensidad =prad =ibat =ibatt =idc",
    ),
    (I::Watt, "watt power leistung puissance vermogen potenza potencia effekt teho =moc =kw =pwr"),
    (
        I::Speed,
        "speed =spd =fug =fueg =fdw =vit geschwindigkeit fahrt vitesse snelheid velocita velocid velocity =fart \
         bootsfart hastighed hastighet nopeus predkosc =sog =stw =bsp =tws =aws =knots =vel vaart =kts",
    ),
    (I::Angle, "angle winkel hoek angolo angulo vinkel kulma =awa =twa"),
    (
        I::Direction,
        "direction richtung richting direzione direccion direcao retning riktning suunta =twd =dir",
    ),
    (I::Amp, "=strom strom"),
    (I::Motor, "motor engine moteur moottori =mot =silnik =silnika"),
    (
        I::Shaft,
        "shaft =prop propell =welle wellen =arbre albero =eje =axel aksel =akseli =eixo helice \
         =elica schroef potkuri",
    ),
    (
        I::Drive,
        "traction antrieb =drive propulsion =fahr fahrbatterie fahrakku aandrijving propulsione \
         framdrift framdriv fremdrift fremdriv aandrijf voortstuw trazion traktion traccion tracao",
    ),
    (
        I::Battery,
        "batt =bat =bank =pack =banco =pacco =paquete akusto accu akku bateria =bms =akk =batteri =banks",
    ),
    (I::Total, "=tot =ges total gesamt summe =sum totaal overall combined"),
    (
        I::Input,
        "=input =dc eingang =bus entree =supply =in ingang entrada ingresso =main =link zwischenkreis",
    ),
    (I::Load, "=load =loads heater heating heizung chauffage verwarming verbrauch consum =last =charges"),
    (I::Charger, "=charge"),
    (I::True, "=true rechtweisend =vrai =vraie verdad =vero wahre ware sann sand =tosi =rw =geo"),
    (I::Magnetic, "magnet missweisend =mag =mw"),
    (I::Air, "=air =luft lufttemp outside =lucht =ilma ilman =aire =aria aussen luchttemp"),
    (
        I::Water,
        "water =stw =fdw =log =logge =loch wasser =eau acqua agua vatten =vand vand =vann vann =vesi \
         veden paddle =sea =mer meeres vattn vandet vannet",
    ),
    (
        I::Ground,
        "ground =sog =fug =fueg =kug =kueg gps gnss grund =fond =fondo grond =fundo pohjan grunn suolo",
    ),
    (
        I::Elapsed,
        "elapsed laufzeit duration verstrichen ecoule verstreken trascorso transcurrido decorrido \
         uptime =dauer duree stopwatch kulunut forlopt forlobet",
    ),
    (I::Date, "=date datum =fecha =data =dato paivays =dag =day =tag paivamaara =jour"),
    (
        I::Time,
        "time zeit =heure =temps hora tijd =tid =tempo =ora =orario kello klokkeslett klockslag \
         =utc =gmt =aika =czas aikaleima =epoch =unix tidspunkt zeitpunkt =t =sec =secs seconds sekunden \
         secondes =ms =millis milliseconds =clock =uhr horodatage =ts =tstamp minuut =minute =minuten =minutes =minuti =minutos =minuter =minutter",
    ),
    (I::Out, "discharg entlad decharge ontlaad descarga scarica urladd aflad utlad purku =draw =drawn"),
];

/// A word, and whether it counts alone only.
type Listed = (&'static str, bool);

/// The same words apart.
static LISTED: LazyLock<Vec<(Idea, Vec<Listed>)>> = LazyLock::new(|| {
    let apart = |word: &'static str| word.strip_prefix('=').map_or((word, false), |whole| (whole, true));
    let listed = |words: &'static str| words.split(' ').filter(|word| !word.is_empty()).map(apart).collect();
    WORDS.iter().map(|(idea, words)| (*idea, listed(words))).collect()
});

/// A longer text is no name.
pub(super) const LONGEST_NAME: usize = 200;

/// Words of a name, folded: `Batt1_Voltage` gives batt, 1, voltage. None of what is too long for a name.
#[must_use]
pub(super) fn words(name: &str) -> Vec<String> {
    #[derive(PartialEq, Clone, Copy)]
    enum Kind {
        Lower,
        Upper,
        Digit,
        Gap,
    }
    let name = if name.len() > LONGEST_NAME { "" } else { name };
    let mut words = vec![String::new()];
    let mut before = Kind::Gap;
    for c in name.chars() {
        let kind = match c {
            c if c.is_numeric() => Kind::Digit,
            c if c.is_uppercase() => Kind::Upper,
            c if c.is_alphabetic() || ('\u{300}'..='\u{36f}').contains(&c) => Kind::Lower,
            _ => Kind::Gap,
        };
        let starts = kind == Kind::Gap
            || (kind == Kind::Upper && before == Kind::Lower)
            || ((kind == Kind::Digit) != (before == Kind::Digit) && before != Kind::Gap);
        if starts {
            words.push(String::new());
        }
        if kind != Kind::Gap
            && let Some(word) = words.last_mut()
        {
            word.push(c);
        }
        before = kind;
    }
    words.retain(|word| !word.is_empty());
    words.iter().flat_map(|word| letter_apart(fold(word))).collect()
}

/// `UBatt`, `Vtot`, `nMot`: a letter of a quantity before the short name of a part.
fn letter_apart(word: String) -> Vec<String> {
    const PARTS: [&str; 19] = [
        "tot", "total", "ges", "bat", "batt", "battery", "batterie", "pack", "bank", "bus", "dc", "mot",
        "motor", "bms", "akku", "accu", "zk", "link", "sys",
    ];
    let starts = word.starts_with(['u', 'v', 'i', 'p', 'n', 't']);
    match word.get(1..).filter(|part| starts && PARTS.contains(part)) {
        Some(part) => vec![word[..1].to_owned(), part.to_owned()],
        None => vec![word],
    }
}

/// The ideas of one folded word; none for one that is not known.
pub(super) fn ideas(word: &str) -> impl Iterator<Item = Idea> + '_ {
    // An umlaut may be written with an e: both spellings are held against the list.
    let plain = word.replace("ae", "a").replace("oe", "o").replace("ue", "u");
    LISTED
        .iter()
        .filter(move |(_, listed)| {
            listed.iter().any(|(listed, is_whole)| {
                if *is_whole {
                    word == *listed || plain == *listed
                } else {
                    word.contains(listed) || (plain != word && plain.contains(listed))
                }
            })
        })
        .map(|(idea, _)| *idea)
        // The French time, not temperatures; the German speed, in which no wind blows.
        .filter(move |idea| *idea != I::Temperature || word != "temps")
        .filter(move |idea| {
            *idea != I::Wind || word.replace("geschwind", "").contains("wind") || !word.contains("geschwind")
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_fall_into_words() {
        assert_eq!(words("Batt1_Voltage"), ["batt", "1", "voltage"]);
        assert_eq!(words("motorTemp (max)"), ["motor", "temp", "max"]);
        assert_eq!(words("Vitesse à l'eau"), ["vitesse", "a", "l", "eau"]);
        assert_eq!(words("e\u{301}tat"), ["etat"]);
        assert_eq!(fold("Länge Größe Spænding"), "lange grosse spaending");
    }

    #[test]
    fn joined_words_hold_several_ideas() {
        let of = |word: &str| ideas(word).collect::<Vec<_>>();
        assert!(of("batteriespannung").contains(&Idea::Volt));
        assert!(of("batteriespannung").contains(&Idea::Battery));
        assert!(of("motordrehzahl").contains(&Idea::Turning));
        assert!(of("spaending").contains(&Idea::Volt));
        assert!(of("xyzzy").is_empty());
    }
}
