// SPDX-License-Identifier: Apache-2.0
// Which pictures were taken under like light: what a judge learns under one light is tested under
// the others.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/judge.h"
#include "vision/model.h"

namespace lastlook::vision {

// A number for each picture, from 0. Fewer than six pictures: each is a group of its own.
std::vector<int> group_by_light(const std::vector<Component>& components,
                                const std::vector<cv::Mat>& pictures,
                                const std::vector<Alignment>& alignments, cv::Size reference_px);

}  // namespace lastlook::vision
