// SPDX-License-Identifier: Apache-2.0
// The spellings of units, in one table.
#include "coolband/core/units.hpp"

#include <algorithm>
#include <array>
#include <numbers>
#include <string>
#include <utility>

namespace coolband {

namespace {

constexpr Unit k_celsius{Quantity::temperature, "°C", 1.0, 0.0};
constexpr Unit k_fahrenheit{Quantity::temperature, "°F", 1.0 / 1.8, -32.0 / 1.8};
constexpr Unit k_kelvin{Quantity::temperature, "K", 1.0, -273.15};
constexpr Unit k_kmh{Quantity::speed, "km/h", 1.0, 0.0};
constexpr Unit k_mph{Quantity::speed, "mph", 1.609344, 0.0}; // 1 mile = 1609.344 m exactly
constexpr Unit k_ms{Quantity::speed, "m/s", 3.6, 0.0};
constexpr Unit k_foot_per_second{Quantity::speed, "ft/s", 1.09728, 0.0}; // 0.3048 m
constexpr Unit k_knot{Quantity::speed, "kn", 1.852, 0.0};
constexpr Unit k_percent{Quantity::ratio, "%", 1.0, 0.0};
constexpr Unit k_rpm{Quantity::rotation, "rpm", 1.0, 0.0};
constexpr Unit k_thousand_rpm{Quantity::rotation, "1000/min", 1000.0, 0.0};
constexpr Unit k_per_second{Quantity::rotation, "1/s", 60.0, 0.0};
constexpr Unit k_radian_per_second{Quantity::rotation, "rad/s", 30.0 / std::numbers::pi, 0.0};
constexpr Unit k_metre{Quantity::length, "m", 1.0, 0.0};
constexpr Unit k_kilometre{Quantity::length, "km", 1000.0, 0.0};
constexpr Unit k_foot{Quantity::length, "ft", 0.3048, 0.0};
constexpr Unit k_second{Quantity::time, "s", 1.0, 0.0};
constexpr Unit k_minute{Quantity::time, "min", 60.0, 0.0};
constexpr Unit k_hour{Quantity::time, "h", 3600.0, 0.0};
constexpr Unit k_millisecond{Quantity::time, "ms", 1e-3, 0.0};
constexpr Unit k_microsecond{Quantity::time, "µs", 1e-6, 0.0};
constexpr Unit k_nanosecond{Quantity::time, "ns", 1e-9, 0.0};
constexpr Unit k_kpa{Quantity::pressure, "kPa", 1.0, 0.0};
constexpr Unit k_bar{Quantity::pressure, "bar", 100.0, 0.0};
constexpr Unit k_psi{Quantity::pressure, "psi", 6.894757293168, 0.0};
constexpr Unit k_hectopascal{Quantity::pressure, "hPa", 0.1, 0.0};
constexpr Unit k_megapascal{Quantity::pressure, "MPa", 1000.0, 0.0};
constexpr Unit k_technical_atmosphere{Quantity::pressure, "kgf/cm²", 98.0665, 0.0};
constexpr Unit k_litre{Quantity::volume, "L", 1.0, 0.0};
constexpr Unit k_millilitre{Quantity::volume, "mL", 1e-3, 0.0};
constexpr Unit k_centilitre{Quantity::volume, "cL", 1e-2, 0.0};
// The US gallon is 231 cubic inches, the imperial one 4.54609 L, both exactly.
constexpr Unit k_us_gallon{Quantity::volume, "US gal", 3.785411784, 0.0};
constexpr Unit k_us_quart{Quantity::volume, "US qt", 0.946352946, 0.0};
constexpr Unit k_us_pint{Quantity::volume, "US pt", 0.473176473, 0.0};
constexpr Unit k_imperial_gallon{Quantity::volume, "imp gal", 4.54609, 0.0};
constexpr Unit k_imperial_quart{Quantity::volume, "imp qt", 1.1365225, 0.0};
constexpr Unit k_imperial_pint{Quantity::volume, "imp pt", 0.56826125, 0.0};

struct Spellings {
  Unit unit;
  std::string_view texts; ///< as `folded` leaves them, with blanks between
};

// English, German, French, Spanish, Portuguese, Italian, Dutch, Swedish, Polish. "Hora", "heure",
// "ora", "uur" and "godzina" are left out: as a heading they are the time of day.
constexpr auto k_spellings = std::to_array<Spellings>({
    {k_celsius,
     "c degc celsius cel degcelsius centigrade degreesc degreec gradc gradcelsius celsiusgrad "
     "degresc degrescelsius degrec gradosc gradoscelsius grausc grauscelsius gradic "
     "gradicelsius gradencelsius gradenc graderc gradercelsius stopniec stopniecelsjusza "
     "celsjusza stc"},
    {k_fahrenheit,
     "f degf fahrenheit degfahrenheit degreesf degreef gradf gradfahrenheit degresf "
     "degresfahrenheit gradosf gradosfahrenheit grausf grausfahrenheit gradif gradifahrenheit "
     "gradenf gradenfahrenheit graderf graderfahrenheit stopnief stopniefahrenheita"},
    {k_kelvin, "k kelvin degk kelvins gradkelvin"},
    {k_kmh,
     "km/h kmh kph kmph km/hr kmhr kmh-1 kmperh kmperhour kilometersperhour kilometresperhour "
     "kilometerperhour km/std kmprostunde stundenkilometer km/heure kmparheure km/hora "
     "kmporhora km/ora kmall'ora kmallora km/u kmu kmperuur km/uur km/tim kmitimmen km/timme "
     "km/godz kmgodz kmnagodzine"},
    {k_mph, "mph mi/h mih miles/h milesperhour mi/hr miles/hr mileperhour"},
    {k_ms, "m/s mps mpersec m/sec ms-1 meterspersecond metrespersecond mpers"},
    {k_foot_per_second, "ft/s fps ft/sec feetpersecond"},
    {k_knot, "kn kt kts knot knots knoten noeud noeuds nudos nos nodi knopen knop wezly"},
    {k_percent,
     "% pct percent percentage percnt perc prozent procent procenty pourcent pourcentage "
     "vol% vol-% volpct volumepct volumepercent porciento porcentaje porcento porcentagem percento "
     "percentuale %%"},
    {k_rpm,
     "rpm 1/min 1min /min min-1 min^-1 min**-1 u/min umin upm umdr/min umdrehungen/min r/min "
     "rmin rev/min revs/min revmin revolutionsperminute tr/min trmin trs/min tr/mn tours/min "
     "toursparminute rev/minuto giri/min girimin giri/1' girialminuto rotacoes/min "
     "rotacoesporminuto revolucionesporminuto obr/min obrmin obroty/min obrotow/min varv/min "
     "varvmin v/min omw/min omwmin omwentelingen/min toeren/min tpm rot/min"},
    {k_thousand_rpm,
     "x1000 1000/min 1000rpm krpm x1000rpm rpmx1000 x1000/min 1000u/min 1000tr/min"},
    {k_per_second, "1/s s-1 s^-1 rev/s revs/s r/s rps u/s tr/s obr/s varv/s giri/s"},
    {k_radian_per_second, "rad/s rads rad/sec"},
    {k_metre,
     "m metre metres meter meters metro metros metri metr metrow mtr masl mamsl msnm mslm mnpm "
     "mnn munn muddm moh"},
    {k_kilometre, "km kilometre kilometres kilometer kilometers"},
    {k_foot, "ft feet foot ' fuss pies pied pieds pes piedi voet fot stop stopy"},
    {k_second,
     "s sec secs second seconds sek sekunde sekunden seconde secondes segundo segundos secondo "
     "secondi seg seconden sekund sekunder sekundy"},
    {k_minute,
     "min mins minute minutes minuten minuto minutos minuti minuut minuter minuty minut mn"},
    {k_hour, "h hr hrs hour hours std stunde stunden heures horas ore uren tim timme timmar godz "
             "godziny"},
    {k_millisecond,
     "ms msec msecs millis millisecond milliseconds millisekunde millisekunden milliseconde "
     "millisecondes milisegundos milissegundos millisecondi milliseconden millisekund "
     "millisekunder milisekundy"},
    {k_microsecond,
     "us µs μs usec micros microsecond microseconds mikrosekunden microsecondes microsegundos "
     "microssegundos microsecondi microseconden mikrosekunder mikrosekundy"},
    {k_nanosecond,
     "ns nsec nanos nanosecond nanoseconds nanosekunden nanosecondes nanosegundos nanossegundos "
     "nanosecondi nanoseconden nanosekunder nanosekundy"},
    {k_kpa, "kpa kilopascal kilopascals"},
    {k_bar, "bar bars"},
    {k_psi, "psi lb/in2 lbf/in2 psig"},
    {k_hectopascal, "hpa hectopascal mbar millibar"},
    {k_megapascal, "mpa megapascal"},
    {k_technical_atmosphere, "kg/cm2 kgf/cm2 kp/cm2 kgcm2 kg/cm\xC2\xB2 kgf/cm\xC2\xB2"},
    {k_litre, "l litre litres liter liters litro litros litri"},
    {k_millilitre, "ml millilitre millilitres milliliter milliliters"},
    {k_centilitre, "cl centilitre centilitres centiliter centiliters"},
    {k_us_gallon, "gal gals gallon gallons usgal usgals usgallon usgallons galus galonus"},
    {k_us_quart, "qt qts quart quarts usqt usqts usquart usquarts"},
    {k_us_pint, "pint pints uspt uspint uspints"},
    {k_imperial_gallon, "impgal imperialgallon imperialgallons ukgal ukgallon ukgallons"},
    {k_imperial_quart, "impqt imperialquart imperialquarts ukqt ukquart ukquarts"},
    {k_imperial_pint, "imppt imppint imperialpint imperialpints ukpint ukpints"},
});

void replace_all(std::string& text, std::string_view part, std::string_view by) {
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + by.size())) {
    text.replace(at, part.size(), by);
  }
}

/// What is written in other ways and means the same.
constexpr auto k_alike = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"\xC3\x82\xC2\xB0", ""},       // a degree sign encoded twice
    {"\xC2\xB0", ""},               // °
    {"\xC2\xBA", ""},               // º, often typed for °
    {"\xE2\x84\x83", "c"},          // ℃
    {"\xE2\x84\x89", "f"},          // ℉
    {"\xE2\x81\xBB\xC2\xB9", "-1"}, // ⁻¹
    {"\xE2\x88\x92", "-"},          // the minus sign
    {"\xC2\xB7", ""},               // a product's dot
    {"\xC3\xA8", "e"},              // è
    {"\xC3\xA9", "e"},              // é
    {"\xC3\xB3", "o"},              // ó
    {"\xC3\xB4", "o"},              // ô
    {"\xC3\xB5", "o"},              // õ
    {"\xC3\xA7", "c"},              // ç
    {"\xC3\xBC", "u"},              // ü
    {"\xC3\x9C", "u"},              // Ü
    {"\xC3\x9F", "ss"},             // ß
    {"\xC4\x99", "e"},              // ę
    {"\xC5\x82", "l"},              // ł
    {"\xC5\x93", "oe"},             // œ
    {"\xB0", ""},                   // ° in Latin-1; last, as it is a tail byte too
});

std::string folded(std::string_view spelling) {
  std::string text;
  for (char c : spelling) {
    if (c == ' ' || c == '\t' || c == '"' || c == '.') continue;
    text += (c >= 'A' && c <= 'Z') ? static_cast<char>(c - 'A' + 'a') : c;
  }
  for (const auto& [part, by] : k_alike) replace_all(text, part, by);
  return text;
}

/// True when `text` is one of the words of `list`.
bool has_word(std::string_view list, std::string_view text) {
  for (auto at = list.find(text); at != std::string_view::npos; at = list.find(text, at + 1)) {
    const std::size_t end = at + text.size();
    if ((at == 0 || list[at - 1] == ' ') && (end == list.size() || list[end] == ' ')) return true;
  }
  return false;
}

} // namespace

std::optional<Unit> unit_named(std::string_view spelling) {
  const std::string text = folded(spelling);
  if (text.empty()) return std::nullopt;
  const auto* found = std::find_if(k_spellings.begin(), k_spellings.end(),
                                   [&](const auto& s) { return has_word(s.texts, text); });
  if (found == k_spellings.end()) return std::nullopt;
  return found->unit;
}

std::optional<Unit> unit_named(std::string_view spelling, Quantity quantity) {
  auto unit = unit_named(spelling);
  if (unit && unit->quantity != quantity) return std::nullopt;
  return unit;
}

} // namespace coolband
