// SPDX-License-Identifier: Apache-2.0
#include "vision/teaching_folder.h"

#include <fstream>

#include "tests/vision/samples.h"

namespace lastlook::vision {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

class Folder : public ::testing::Test {
 protected:
  void SetUp() override {
    const auto* test = ::testing::UnitTest::GetInstance()->current_test_info();
    at_ = fs::path(::testing::TempDir()) / (std::string("folder-") + test->name());
    fs::remove_all(at_);
    fs::create_directories(at_);
    write("reference.jpg", "not looked at here");
    write("a.jpg", "");
    write("components.json", R"({"image":[1280,960],"components":[
      {"name":"cap","x":10,"y":20,"w":30,"h":40}],
      "variants":{"V1":{"expected":{"cap":"present"}},"V2":{"expected":{"cap":"absent"}}}})");
  }
  void TearDown() override { fs::remove_all(at_); }
  void write(const std::string& name, const std::string& text) {
    std::ofstream(at_ / name) << text;
  }
  std::string error() { return read_teaching_folder(at_).error().message; }
  fs::path at_;
};

TEST_F(Folder, ReadsLabelsWhateverTheOrderOfColumns) {
  write("labels.csv", "ok,component,state,file,variant\n0,cap,misplaced,a.jpg,V2\n");
  const Result<TeachingFolder> folder = read_teaching_folder(at_);
  ASSERT_TRUE(folder) << folder.error().message;
  ASSERT_EQ(folder->pictures.size(), 1U);
  EXPECT_EQ(folder->variants[folder->pictures[0].variant].name, "V2");
  EXPECT_EQ(folder->pictures[0].labels[0].state, State::misplaced);
  EXPECT_FALSE(folder->pictures[0].labels[0].ok);
}

TEST_F(Folder, SkipsAPictureThatIsNotThereAndSaysSo) {
  write("labels.csv",
        "file,variant,component,state,ok\na.jpg,V1,cap,present,1\nb.jpg,V1,cap,present,1\n");
  const Result<TeachingFolder> folder = read_teaching_folder(at_);
  ASSERT_TRUE(folder);
  EXPECT_EQ(folder->pictures.size(), 1U);
  EXPECT_THAT(folder->notes, ::testing::ElementsAre(HasSubstr("b.jpg")));
}

TEST_F(Folder, SaysFileLineColumnAndWhatWasExpected) {
  write("labels.csv",
        "file,variant,component,state,ok\na.jpg,V1,cap,present,1\na.jpg,V1,cap,gone,1\n");
  EXPECT_THAT(error(), HasSubstr("labels.csv, line 3, column state: expected present, absent, "
                                 "wrong or misplaced, found gone"));
  write("labels.csv", "file,variant,component,state,ok\na.jpg,V3,cap,present,1\n");
  EXPECT_THAT(error(), HasSubstr("line 2, column variant: expected one of V1, V2, found V3"));
  write("labels.csv", "file,variant,component,ok\n");
  EXPECT_THAT(error(), HasSubstr("line 1: expected a column named state"));
}

TEST_F(Folder, NamesTheFileThatIsMissing) {
  EXPECT_THAT(error(), HasSubstr("labels.csv"));
  fs::remove(at_ / "components.json");
  EXPECT_THAT(error(), HasSubstr("components.json"));
}

TEST(SampleFolder, IsWhole) {
  const Result<TeachingFolder> folder = read_teaching_folder(testing::pump_folder());
  ASSERT_TRUE(folder) << folder.error().message;
  EXPECT_EQ(folder->pictures.size(), 84U);
  EXPECT_EQ(folder->components.size(), 10U);
}

}  // namespace
}  // namespace lastlook::vision
