#include "throughcure/service/machine_hosts.hpp"

#include <algorithm>
#include <array>
#include <memory>

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <unistd.h>

namespace throughcure::service {

namespace {

constexpr std::size_t kMostNameBytes = 253;  // RFC 1035, 2.3.4, without the last dot
constexpr std::string_view kLoopback = "127.0.0.1";
constexpr std::string_view kEveryAddress = "0.0.0.0";

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return out;
}

bool is_host_character(char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '.'; }

std::vector<std::string> addresses() {
  std::vector<std::string> out;
  ifaddrs* first = nullptr;
  if (::getifaddrs(&first) != 0) return out;
  const std::unique_ptr<ifaddrs, void (*)(ifaddrs*)> all(first, &::freeifaddrs);
  for (const ifaddrs* one = first; one != nullptr; one = one->ifa_next) {
    const bool up = (one->ifa_flags & IFF_UP) != 0 && (one->ifa_flags & IFF_LOOPBACK) == 0;
    if (!up || one->ifa_addr == nullptr || one->ifa_addr->sa_family != AF_INET) continue;
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): as the system has it
    const auto* address = reinterpret_cast<const sockaddr_in*>(one->ifa_addr);
    std::array<char, INET_ADDRSTRLEN> text{};
    if (::inet_ntop(AF_INET, &address->sin_addr, text.data(), text.size()) != nullptr) out.emplace_back(text.data());
  }
  return out;
}

std::string own_name() {
  std::array<char, 256> name{};
  return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "";
}

}  // namespace

MachineHosts machine_hosts() { return {addresses(), names_of(own_name())}; }

std::vector<std::string> names_of(std::string_view own_name) {
  const std::string name = lower(own_name);
  const bool good = !name.empty() && name.size() <= kMostNameBytes && name.front() != '.' && name.back() != '.' &&
                    std::all_of(name.begin(), name.end(), is_host_character);
  if (!good) return {};
  if (name.find('.') != std::string::npos || name == "localhost") return {name};
  return {name, name + ".local"};
}

std::vector<std::string> hosts_of_listener(std::string_view address, const MachineHosts& machine,
                                           const std::vector<std::string>& also) {
  std::vector<std::string> out;
  const auto add = [&out](std::string_view host) {
    const std::string name = lower(host);
    if (name.empty() || !std::all_of(name.begin(), name.end(), is_host_character)) return;
    if (std::find(out.begin(), out.end(), name) == out.end()) out.push_back(name);
  };
  const bool everywhere = address == kEveryAddress;
  for (const std::string& host : also) add(host);
  if (everywhere) {
    for (const std::string& host : machine.addresses) add(host);
  } else {
    add(address);
  }
  if (address != kLoopback) {
    for (const std::string& host : machine.names) add(host);
  }
  if (everywhere) add(kLoopback);
  if (everywhere || address == kLoopback) add("localhost");
  return out;
}

}  // namespace throughcure::service
