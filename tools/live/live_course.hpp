/// The lessons of a folder behind one address: a page that lists them, and one for each.
#pragma once
#include <course.hpp>
#include <deque>

#include "live_day.hpp"

namespace pullcast {

class LiveCourse : public LivePage {
public:
    /// Reads all lessons. Throws ScenarioError. The registry must outlive the course.
    LiveCourse(const Registry& registry, const std::filesystem::path& folder, const LiveOptions& options);

    const std::string& title() const { return course_.title; }
    /// The list.
    std::string page(const std::string& token) const override;
    /// In their order; to stand at "1/", "2/", ... below the list.
    std::vector<LivePage*> lessons();

private:
    void link_lessons();

    const Course course_;
    const LiveOptions options_;
    std::deque<LiveDay> days_;  // cannot be moved
};

}  // namespace pullcast
