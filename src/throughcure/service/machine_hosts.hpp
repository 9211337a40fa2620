// By which addresses and names this machine is reached in its network.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace throughcure::service {

/// What this machine is called.
struct MachineHosts {
  std::vector<std::string> addresses;  ///< IPv4, of the interfaces that are up, without the loopback
  std::vector<std::string> names;      ///< in lower case; empty when its name is none that a browser could ask for
};

/// Asks the system, now: what changes later is not noticed.
MachineHosts machine_hosts();

/// A machine's own name in lower case as others can ask for it: as it stands and, when it has no dot, with ".local"
/// (multicast DNS, RFC 6762). Nothing for one with other characters than letters, digits, hyphens and dots.
std::vector<std::string> names_of(std::string_view own_name);

/// By what a server that listens on this address can be asked for, the likeliest first, each once. "0.0.0.0" is every
/// address of the machine. `also` are further names for it, as a certificate has them; one with other characters than
/// letters, digits, hyphens and dots is left out: a "*" above all, since who may be asked for stands in this list and
/// nowhere else.
std::vector<std::string> hosts_of_listener(std::string_view address, const MachineHosts& machine,
                                           const std::vector<std::string>& also = {});

}  // namespace throughcure::service
