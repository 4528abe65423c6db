// SPDX-License-Identifier: Apache-2.0
// A network that goes away and comes back at random, and a store that is asked over it.
#pragma once

#include <chrono>
#include <memory>
#include <random>

#include "kiosk/sync/plant_store.h"
#include "kiosk/trial/tally.h"

namespace lastlook::trial {

// Used by one thread.
class Network {
 public:
  // Works for `up` and is cut for `down`, each on average (exponential, so that no station's cuts
  // keep time with its looks). up 0: never cut.
  Network(Tally& tally, unsigned seed, std::chrono::duration<double> up,
          std::chrono::duration<double> down);

  bool is_up();
  bool loses_an_answer();  // of a request that arrived: 1 in 20, where the network is cut at all

 private:
  using Clock = std::chrono::steady_clock;
  Tally& tally_;
  std::mt19937 random_;
  std::chrono::duration<double> up_, down_;
  bool is_up_ = false;  // the first change, at once, brings it up
  Clock::time_point changes_;
};

// The store behind the network. What arrives with an answer that is lost has arrived all the same.
std::unique_ptr<sync::PlantStore> behind(Network& network, Tally& tally,
                                         std::unique_ptr<sync::PlantStore> store);

}  // namespace lastlook::trial
