// SPDX-License-Identifier: Apache-2.0
// Every role in every language: one common heading each, with its unit where it has one.
// The words are common practice, no source.
#include "unit/import/told_heading.hpp"

#include <map>
#include <vector>

using namespace coolband;
using namespace coolband::test;

namespace {

/// In the order of Role.
const std::map<std::string, std::vector<std::string>>& headings() {
  static const std::map<std::string, std::vector<std::string>> all{
      {"English",
       {"Elapsed time (s)", "Engine coolant temperature (°C)", "Outside air temperature [°C]",
        "Intake air temperature (°C)", "Calculated engine load (%)", "Engine speed (1/min)",
        "Vehicle speed (km/h)", "Throttle position (%)", "Engine oil temperature (°C)",
        "Height above sea level (m)", "Radiator fan", "Cabin heater", "Trip no.", "Registration",
        "Signal name", "Value", "Unit", "Arbitration ID", "Payload"}},
      {"German",
       {"Zeit (Sekunden)", "Kühlmitteltemperatur [°C]", "Außentemperatur in °C",
        "Ansauglufttemperatur (Grad C)", "Berechnete Motorlast [Prozent]", "Motordrehzahl [U/min]",
        "Fahrzeuggeschwindigkeit (km/h)", "Drosselklappenstellung %", "Motoröltemperatur °C",
        "Höhe über NN [m]", "Kühlerlüfter", "Heizung", "Fahrt-Nr.", "Kennzeichen", "Messgröße",
        "Messwert", "Einheit", "CAN-Kennung", "Rohdaten"}},
      {"French",
       {"Temps écoulé (s)", "Température du liquide de refroidissement (°C)",
        "Température extérieure [degrés C]", "Température d'air d'admission (°C)",
        "Charge moteur calculée (%)", "Régime moteur (tr/min)", "Vitesse du véhicule [km/h]",
        "Position du papillon (%)", "Température d'huile moteur (°C)", "Altitude [mètres]",
        "Ventilateur de refroidissement", "Chauffage", "Trajet", "Immatriculation", "Grandeur",
        "Valeur", "Unité", "Identifiant", "Données brutes"}},
      {"Spanish",
       {"Tiempo transcurrido [segundos]", "Temperatura del refrigerante (°C)",
        "Temperatura ambiente °C", "Temperatura del aire de admisión (°C)",
        "Carga calculada del motor (%)", "Régimen del motor (rpm)", "Velocidad del vehículo (km/h)",
        "Posición de la mariposa [%]", "Temperatura del aceite (°C)", "Altitud (m)",
        "Electroventilador", "Calefacción", "Viaje", "Matrícula", "Señal", "Valor medido", "Unidad",
        "Identificador", "Trama"}},
      {"Portuguese",
       {"Tempo decorrido (segundos)", "Temperatura do líquido de arrefecimento (°C)",
        "Temperatura do ar ambiente (°C)", "Temperatura do ar de admissão [°C]",
        "Carga do motor (%)", "Rotação do motor (rpm)", "Velocidade do veículo (km/h)",
        "Posição da borboleta (%)", "Temperatura do óleo (°C)", "Altitude (m)",
        "Ventoinha do radiador", "Aquecedor", "Viagem", "Veículo", "Sinal", "Leitura", "Unidade",
        "Identificador", "Dados brutos"}},
      {"Italian",
       {"Tempo trascorso (secondi)", "Temperatura liquido di raffreddamento (°C)",
        "Temperatura esterna [°C]", "Temperatura aria aspirata (°C)", "Carico motore (%)",
        "Giri motore [giri/min]", "Velocità del veicolo (km/h)", "Posizione farfalla (%)",
        "Temperatura olio motore (°C)", "Altitudine (m)", "Ventola di raffreddamento",
        "Riscaldamento", "Viaggio", "Targa", "Segnale", "Valore", "Unità di misura",
        "Identificatore", "Dati grezzi"}},
      {"Dutch",
       {"Verstreken tijd (seconden)", "Koelvloeistoftemperatuur [°C]",
        "Buitentemperatuur (graden C)", "Inlaatluchttemperatuur (°C)", "Motorbelasting (procent)",
        "Motortoerental (omw/min)", "Voertuigsnelheid [km/u]", "Gasklepstand [%]",
        "Olietemperatuur (°C)", "Hoogte (m)", "Koelventilator", "Verwarming", "Rit", "Kenteken",
        "Grootheid", "Meetwaarde", "Eenheid", "Identificatie", "Ruwe data"}},
      {"Swedish",
       {"Tid i sekunder", "Kylvätsketemperatur (°C)", "Yttertemperatur [°C]",
        "Insugslufttemperatur (°C)", "Motorbelastning (procent)", "Varvtal [varv/min]",
        "Hastighet (km/h)", "Gasspjällsvinkel (%)", "Motoroljetemperatur [°C]",
        "Höjd över havet (m)", "Kylfläkt", "Kupévärmare", "Resa", "Registreringsnummer", "Storhet",
        "Mätvärde", "Enhet", "Identifierare", "Rådata"}},
      {"Polish",
       {"Czas [sekundy]", "Temperatura płynu chłodzącego (°C)", "Temperatura zewnętrzna [°C]",
        "Temperatura powietrza dolotowego (°C)", "Obciążenie silnika (%)",
        "Obroty silnika [obr/min]", "Prędkość pojazdu (km/h)", "Położenie przepustnicy (%)",
        "Temperatura oleju (°C)", "Wysokość n.p.m. (m)", "Wentylator chłodnicy", "Ogrzewanie",
        "Przejazd", "Nr rejestracyjny", "Wielkość", "Wartość", "Jednostka", "Identyfikator",
        "Surowe dane"}},
  };
  return all;
}

std::string own_unit_text(std::size_t role) {
  if (role == 0) return " s";
  const auto unit = own_unit(static_cast<Role>(role));
  const bool stated = unit.empty() || static_cast<Role>(role) == Role::fan;
  return stated ? "" : " " + std::string(unit);
}

std::string upper_ascii(std::string text) {
  for (char& c : text) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  return text;
}

/// The text in Latin-1; letters beyond it are left out.
std::string latin_1(std::string_view utf8) {
  std::string text;
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const auto byte = static_cast<unsigned char>(utf8[i]);
    if (byte < 0x80) {
      text += utf8[i];
    } else if (byte == 0xC2 || byte == 0xC3) {
      ++i;
      text += static_cast<char>(static_cast<unsigned char>(utf8[i]) + (byte == 0xC3 ? 0x40 : 0));
    } else {
      return {};
    }
  }
  return text;
}

} // namespace

TEST_CASE("every role is understood in every language") {
  for (const auto& language : headings()) {
    const auto& list = language.second;
    REQUIRE(list.size() == k_any_role_count);
    for (std::size_t i = 0; i < list.size(); ++i) {
      const std::string expected = std::string(name_of(static_cast<Role>(i))) + own_unit_text(i);
      const std::string found = told(list[i]);
      CHECK_MESSAGE(found == expected, language.first << ": " << list[i] << ": " << found);
    }
  }
}

TEST_CASE("capitals, Latin-1, and a unit left out change nothing about the role") {
  for (const auto& language : headings()) {
    const auto& list = language.second;
    for (std::size_t i = 0; i < list.size(); ++i) {
      const std::string role(name_of(static_cast<Role>(i)));
      const std::string capitals = told(upper_ascii(list[i]));
      CHECK_MESSAGE(capitals.substr(0, capitals.find(' ')) == role,
                    language.first << ": " << list[i]);
      const std::string bare = list[i].substr(0, list[i].find_first_of("(["));
      const std::string plain = told(bare);
      CHECK_MESSAGE(plain.substr(0, plain.find(' ')) == role,
                    language.first << ": " << bare << plain);
      if (const std::string old = latin_1(list[i]); !old.empty())
        CHECK_MESSAGE(told(old) == told(list[i]), language.first << ": " << list[i]);
    }
  }
}
