// SPDX-License-Identifier: Apache-2.0
// What DEVELOPERS.md promises of a store over a network: sslmode=verify-full sends only to the
// server whose certificate the plant's own authority signed, under the name that was asked for.
#include <gmock/gmock.h>
#include <stdlib.h>

#include <cstdlib>
#include <filesystem>

#include "kiosk/sync/postgres_plant.h"
#include "kiosk/sync/postgres_setup.h"
#include "kiosk/sync/send.h"
#include "tests/kiosk/records/station.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

// A certificate authority of a plant's own, made with OpenSSL.
class Authority {
 public:
  explicit Authority(const fs::path& folder) : folder_(folder) {
    fs::create_directories(folder_);
    fs::permissions(folder_, fs::perms::all);
    shell(
        "openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj '/CN=Plant authority' "
        "-keyout ca.key -out ca.crt");
  }
  std::string root() const { return folder_ / "ca.crt"; }
  // A server's certificate and key, good for that name.
  void sign(const std::string& name) const {
    shell("openssl req -newkey rsa:2048 -nodes -subj '/CN=" + name +
          "' -keyout server.key -out server.csr");
    shell("printf 'subjectAltName=DNS:" + name + "' > san.txt");
    shell(
        "openssl x509 -req -in server.csr -CA ca.crt -CAkey ca.key -CAcreateserial -days 2 "
        "-extfile san.txt -out server.crt && chmod 644 server.key");
  }
  std::string certificate() const { return folder_ / "server.crt"; }
  std::string key() const { return folder_ / "server.key"; }

 private:
  void shell(const std::string& command) const {
    ASSERT_EQ(std::system(("cd " + folder_.string() + " && (" + command + ") 2>/dev/null").c_str()),
              0)
        << command;
  }
  fs::path folder_;
};

class TlsTest : public ::testing::Test {
 protected:
  TlsTest() {
    // The server runs as another user.
    fs::permissions(folder.path(), fs::perms::all);
    station.look("k-1", "1", 1, domain::Disposition::accept);
    EXPECT_TRUE(make_postgres(cluster.address("owner", database)));
    EXPECT_TRUE(admit(cluster.address("owner", database), "ll1", station.records->station()));
  }
  // Under this host name, which on this machine is the same server.
  std::string address(const std::string& host, const std::string& root) const {
    std::string at = cluster.address("ll1", database);
    at.replace(at.find("127.0.0.1"), 9, host);
    return at + "?sslmode=verify-full&sslrootcert=" + root;
  }
  Result<Sent> send_to(const std::string& address) {
    return open_plant_store(address, false).and_then([&](const auto& plant) {
      return send(station.records->store(), *plant);
    });
  }

  records::testing::TempFolder folder;
  records::testing::Station station;
  testing::Cluster& cluster = testing::Cluster::running();
  std::string database = cluster.new_database();
};

TEST_F(TlsTest, OnlyTheServerOfThePlantsOwnAuthorityIsSentTo) {
  const Authority plant(folder.path() / "plant");
  const Authority stranger(folder.path() / "stranger");

  const auto without = send_to(address("localhost", plant.root()));
  ASSERT_FALSE(without) << "the server does not talk TLS yet";
  EXPECT_THAT(without.error().message, HasSubstr("SSL"));

  stranger.sign("localhost");
  cluster.use_tls(stranger.certificate(), stranger.key());
  const auto forged = send_to(address("localhost", plant.root()));
  ASSERT_FALSE(forged) << "signed by somebody else";
  EXPECT_THAT(forged.error().message, HasSubstr("certificate verify failed"));

  plant.sign("plant-server");
  cluster.use_tls(plant.certificate(), plant.key());
  const auto misnamed = send_to(address("localhost", plant.root()));
  ASSERT_FALSE(misnamed) << "ours, but of another server";
  EXPECT_THAT(misnamed.error().message, HasSubstr("does not match host name"));

  plant.sign("localhost");
  cluster.use_tls(plant.certificate(), plant.key());
  const auto sent = send_to(address("localhost", plant.root()));
  ASSERT_TRUE(sent) << sent.error().message;
  EXPECT_EQ(sent->entries, 4);
  EXPECT_THAT(cluster.sql(database, "SELECT count(*) FROM lastlook_plant.entry"), HasSubstr("4"));
}

}  // namespace
}  // namespace lastlook::sync
