#include "throughcure/service/machine_hosts.hpp"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/service/certificate.hpp"

namespace throughcure::service {
namespace {

using testing::AllOf;
using testing::Each;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;
using testing::Truly;

const MachineHosts machine{{"192.168.1.5", "10.0.0.7"}, {"desk", "desk.local"}};

TEST(MachineHosts, AreAddressesAndNamesWithoutTheLoopback) {
  const MachineHosts here = machine_hosts();
  EXPECT_THAT(here.addresses, Each(AllOf(Truly(is_ip_address), Not(StartsWith("127.")))));
  EXPECT_THAT(here.names, Each(Not(Truly(is_ip_address))));
}

TEST(MachineNames, AreThoseThatABrowserCanAskFor) {
  EXPECT_THAT(names_of("Desk"), ElementsAre("desk", "desk.local"));
  EXPECT_THAT(names_of("desk.practice.example"), ElementsAre("desk.practice.example"));
  EXPECT_THAT(names_of("localhost"), ElementsAre("localhost"));
  for (const char* other : {"", "my desk", "desk_1", ".", "desk.", ".desk", "desk:80", "desk/x", "d\xc3\xa9sk"}) {
    EXPECT_THAT(names_of(other), IsEmpty()) << other;
  }
  EXPECT_THAT(names_of(std::string(300, 'a')), IsEmpty());
}

TEST(ListenerHosts, OfEveryAddressAreAllOfThem) {
  EXPECT_THAT(hosts_of_listener("0.0.0.0", machine),
              ElementsAre("192.168.1.5", "10.0.0.7", "desk", "desk.local", "127.0.0.1", "localhost"));
}

TEST(ListenerHosts, OfOneAddressAreNoOtherAddress) {
  EXPECT_THAT(hosts_of_listener("10.0.0.7", machine), ElementsAre("10.0.0.7", "desk", "desk.local"));
  EXPECT_THAT(hosts_of_listener("127.0.0.1", machine), ElementsAre("127.0.0.1", "localhost"));
}

TEST(ListenerHosts, ThatACertificateNamesComeFirstAndEachOnce) {
  const auto hosts = hosts_of_listener("0.0.0.0", machine,
                                       {"Lights.Practice.Example", "10.0.0.7", "*.example", "", "a b", "a\x1b[2J",
                                        std::string("a\0b", 3), "2001:db8::1"});
  EXPECT_EQ(hosts.front(), "lights.practice.example");
  EXPECT_THAT(hosts, ElementsAre("lights.practice.example", "10.0.0.7", "192.168.1.5", "desk", "desk.local",
                                 "127.0.0.1", "localhost"));
}

}  // namespace
}  // namespace throughcure::service
