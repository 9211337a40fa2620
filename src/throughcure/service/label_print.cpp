#include "throughcure/service/label_print.hpp"

#include "throughcure/draw/label_sheet.hpp"
#include "throughcure/exchange/qr.hpp"

namespace throughcure::service {

namespace {

/// Whether an address is that of the machine itself, which no phone reaches.
bool is_own_machine(const std::string& origin) {
  const std::string host = origin.substr(origin.find("//") + 2);
  return host.starts_with("127.") || host.starts_with("localhost");
}

std::string note(const std::string& origin) {
  const std::string usual = "Print at actual size, not scaled to the page, and cut along the marks. ";
  if (!is_own_machine(origin)) {
    return usual + "The labels lead to " + origin + ": when the machine gets another address, print them anew.";
  }
  return usual + "No phone reaches " + origin +
         ", which is this machine alone: start the program with --lan, open the page at an address that it prints "
         "then, "
         "and print the labels from there.";
}

}  // namespace

draw::Print label_print(const std::vector<desk::LightLabel>& lights, const std::string& origin, base::Instant now) {
  std::vector<draw::Label> labels;
  labels.reserve(lights.size());
  for (const desk::LightLabel& light : lights) {
    const std::string address = origin + "/check?light=" + std::to_string(light.light.number);
    const exchange::QrSymbol square = exchange::qr_symbol(address);
    labels.push_back({light.name, light.serial, light.place, address, square.side, square.dark});
  }
  return {.title = "Labels of lights", .made_at = now, .pages = draw::label_sheets(labels, note(origin))};
}

}  // namespace throughcure::service
