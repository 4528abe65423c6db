// SPDX-License-Identifier: Apache-2.0
// A PostgreSQL server of the tests' own, on a free port of this machine, gone at the end.
#pragma once

#include <string>

namespace lastlook::sync::testing {

class Cluster {
 public:
  // The one of this process, started when first asked for.
  static Cluster& running();
  // And another, on a port of its own.
  static Cluster& second();

  // A fresh, empty database, made with these words of CREATE DATABASE; its owner is "owner". Logins
  // "ll1" and "ll2" exist.
  std::string new_database(const std::string& made_with = "");
  std::string address(const std::string& login, const std::string& database) const;
  // Runs SQL as the server's administrator; says what psql printed.
  std::string sql(const std::string& database, const std::string& text) const;
  // From now on it also talks TLS, as whoever this certificate says it is.
  void use_tls(const std::string& certificate, const std::string& key);
  void stop();   // at once, as a power cut would
  void start();  // and waits until it answers

 private:
  Cluster();
  ~Cluster();
  std::string run(const std::string& command) const;  // as a user that may run a server
  std::string folder_, bin_;
  int port_ = 0, databases_ = 0;
};

}  // namespace lastlook::sync::testing
