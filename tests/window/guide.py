# SPDX-License-Identifier: Apache-2.0
"""Makes the guide from the real program: for each of three people the pages that tell what to do, with
pictures of the screens taken while the demo's kiosk is worked by hand, and with what the commands say. A
step that the program no longer has stops it.  guide.py LASTLOOK FOLDER"""
import html
import os
import subprocess
import sys
import tempfile
import time

from by_hand import Kiosk
from screenshots import open_offered, prove

STYLE = """body{font:17px/1.5 Inter,sans-serif;max-width:52rem;margin:2rem auto;padding:0 1rem;color:#1b2421}
h1{font-size:1.9rem}h2{margin-top:2.6rem}img{width:100%;border:1px solid #8a958f;border-radius:6px}
pre{background:#eef1ec;padding:1rem;overflow-x:auto;font-size:14px}nav a{margin-right:1.5rem}
.care{border-left:5px solid #b8860b;padding-left:1rem}"""
PEOPLE = {"inspector": "The inspector", "supervisor": "The supervisor",
          "quality-engineer": "The quality engineer"}


class Guide:
    """The page of one person, in the order in which it is done."""

    def __init__(self, folder, person):
        self.folder, self.person, self.parts, self.pictures = folder, person, [], 0

    def tell(self, words, kind="p"):
        self.parts.append(f"<{kind}>{html.escape(words)}</{kind}>")

    def care(self, words):
        self.parts.append(f'<p class="care">{html.escape(words)}</p>')

    def show(self, kiosk, what):
        time.sleep(0.5)  # what moves has come to rest
        self.pictures += 1
        name = f"{self.person}-{self.pictures:02}.png"
        file = os.path.join(self.folder, name)
        kiosk.picture(file)
        colours = subprocess.run(["convert", file, "-format", "%k", "info:"], check=True,
                                 capture_output=True, text=True).stdout
        assert int(colours) > 50, f"{name}: nothing is drawn"
        self.parts.append(f'<p><img src="{name}" alt="{html.escape(what)}"></p>')

    def run(self, program, *arguments, shown=None):
        said = subprocess.run([program, *arguments], check=True, capture_output=True, text=True).stdout
        line = "lastlook " + " ".join(shown or arguments)
        self.parts.append(f"<pre>$ {html.escape(line)}\n{html.escape(said)}</pre>")

    def write(self):
        others = "".join(f'<a href="{key}.html">{name}</a>' for key, name in PEOPLE.items())
        title = PEOPLE[self.person]
        with open(os.path.join(self.folder, f"{self.person}.html"), "w", encoding="utf-8") as out:
            out.write(f'<!doctype html><html lang="en"><meta charset="utf-8"><title>{title}</title>'
                      f"<style>{STYLE}</style><nav>{others}</nav><h1>{title}</h1>"
                      + "\n".join(self.parts) + "</html>\n")


def has(key):
    return lambda frame: any(target["key"] == key for target in frame["targets"])


def first(kiosk, prefix):
    """The first target on the screen whose key begins so."""
    return next(t["key"] for t in kiosk.frame()["targets"] if t["key"].startswith(prefix))


def touch_to_a_unit(kiosk):
    """From what went wrong most to the story of a unit that has it."""
    kiosk.touch("question.most")
    kiosk.wait_for_screen("review")
    kiosk.touch(first(kiosk, "kind."))
    kiosk.wait_for_screen("review_behind")
    kiosk.touch(first(kiosk, "story."))
    kiosk.wait_for_screen("review_story")


def type_words(kiosk, words):
    for letter in words:
        kiosk.touch("keypad.space" if letter == " " else f"keypad.{letter}")


def inspector(kiosk, guide):
    kiosk.sign_in("p-6b1e40c7", "2101", to="viewing")
    kiosk.touch("sign_out")  # the demo begins with somebody signed in
    kiosk.wait_for_screen("sign_in")
    guide.tell("Sign in", "h2")
    guide.tell("Touch your name and enter your PIN, or scan your badge. After wrong PINs you wait a "
               "little longer each time; after ten a supervisor lets you in.")
    guide.show(kiosk, "Who is at the station?")
    kiosk.touch("person.p-6b1e40c7")
    for digit in "2101":
        kiosk.touch(f"pin.{digit}")
    kiosk.touch("pin.done")
    kiosk.wait_for_screen("start")
    guide.care("The rules of your site come first. Do not touch a unit that is hot, under pressure or energised "
               "until it was made safe, and rest your eyes.")
    guide.show(kiosk, "The cautions at the start of a shift")
    kiosk.touch("start.go")
    kiosk.touch_past(("handover",), "viewing")
    guide.tell("The place of the look", "h2")
    guide.tell("Once a shift, whoever comes first says how the place is: the lamp, what the light meter reads where "
               "the unit lies, the distance. Where it is not as the site wants it, a supervisor has to allow it.")
    kiosk.touch("viewing.lamp.yes")
    guide.show(kiosk, "The place of the look, once a shift")
    kiosk.check_place()
    kiosk.touch_past((), "waiting")

    guide.tell("Prove the camera", "h2")
    guide.tell("The camera gives an opinion only once it was right about the challenge parts of this shift: "
               "units that are known to be good, and units whose faults are known. Scan one after the other. "
               "Without the proof you inspect without the camera; nothing else changes.")
    kiosk.target("offered")
    guide.show(kiosk, "The proof is due")
    prove(kiosk)

    guide.tell("Take the last look", "h2")
    guide.tell("Scan the tag of the unit. A step shows one component: where it is, what is right, and "
               "what the camera thinks. You decide. One touch an answer. Steps that say touch, tug or turn want a "
               "hand; some, drawn by chance, want your answer before the camera's.")
    open_offered(kiosk)
    kiosk.touch("step.inlet_plug")
    guide.show(kiosk, "A step: the component, the camera's opinion, the two answers")
    guide.tell("'Limits' shows where the limit lies: the worst that still conforms and the mildest that does not. "
               "Not sure? 'Help' calls somebody, and the unit stays where it is.")
    kiosk.touch("samples")
    guide.show(kiosk, "Limit samples")
    kiosk.touch("samples.back")
    kiosk.touch("answer.conforming")
    while kiosk.frame()["screen"] == "look":
        kiosk.touch("answer.conforming")
    if kiosk.frame()["screen"] == "together":
        kiosk.target("together.all")
        guide.tell("What the camera calls right comes together at the end. Look at each; one touch answers them "
                   "all, a touch on a picture leads to its own step.")
        guide.show(kiosk, "The rest together")
    kiosk.answer_all()
    kiosk.wait_for_screen("verdict")
    guide.tell("When every component was looked at, the whole unit is decided. Nothing accepts by itself: no "
               "scan, no key that is held down, no time that runs out.")
    guide.show(kiosk, "The verdict of a good unit")
    kiosk.touch("close.accept")
    kiosk.wait_for_screen("closed")
    guide.show(kiosk, "What to do with the unit now")
    kiosk.touch("next_unit")

    guide.tell("When something is wrong", "h2")
    guide.tell("Touch the answer that it does not conform, then what is wrong, then where on the picture. "
               "What is not in the list is 'something else': the unit is held until it is known what it is.")
    open_offered(kiosk)
    kiosk.touch("step.grommet_3")
    kiosk.touch("answer.nonconforming")
    guide.show(kiosk, "What is wrong")
    kiosk.touch("defect.missing")
    guide.show(kiosk, "Where it is wrong")
    kiosk.touch("picture", (0.69, 0.73))
    kiosk.answer_all()
    kiosk.wait_for_screen("verdict")
    guide.tell("Then rework, hold or scrap. A unit with an open finding is not accepted.")
    guide.show(kiosk, "The verdict of a unit with a finding")
    kiosk.touch("close.rework")
    kiosk.touch("next_unit")

    guide.tell("A tag that cannot be read", "h2")
    guide.tell("Such a unit is not proved. It gets a hold ticket instead of a serial: write the ticket on it "
               "and go on. Never have another tag printed for it.")
    kiosk.wait_for_screen("waiting")
    kiosk.touch("no_tag")
    guide.show(kiosk, "No readable tag")
    kiosk.touch("no_tag.back")

    guide.tell("Leave a note, hand over", "h2")
    guide.tell("'Shift so far' leads to 'For the next shift': a note there is read by whoever comes. When you "
               "leave, sign out; a unit that is still open is placed aside and stays counted.")
    kiosk.touch("review")
    kiosk.touch("question.next")
    kiosk.wait_for_screen("review_next")
    kiosk.touch("review.note")
    type_words(kiosk, "LAMP 2 FLICKERS")
    guide.show(kiosk, "A note for the next shift")
    kiosk.touch("keypad.done")
    kiosk.touch("review.back")
    kiosk.wait_for_screen("waiting")
    kiosk.touch("sign_out")
    guide.show(kiosk, "Signing out")
    kiosk.touch("leave.yes")
    kiosk.wait_for_screen("sign_in")


def supervisor(kiosk, guide):
    kiosk.sign_in("p-d0429b6e", "3101")
    guide.tell("Five questions about a shift, one screen each. 'Shift so far' opens them; the button at the "
               "left chooses another shift.")
    kiosk.touch("review")
    for question, screen, heading, words in (
            ("most", "review", "What went wrong most?",
             "The findings of the shift by kind, the most frequent first. A bar leads to its units."),
            ("usual", "review_usual", "Is it worse than usual?",
             "The share of units that were right at the first look, against the last shift and four weeks; "
             "and which kinds really changed, not by chance alone."),
            ("waiting", "review_waiting", "What is waiting?",
             "Units on hold, placed aside or held back for a second look, the oldest first."),
            ("look", "review_look", "Does the look work?",
             "What second looks and the field found that was let pass, whether the camera's proof held, and "
             "which units are in doubt."),
            ("next", "review_next", "What must the next shift know?",
             "What is open, a note, the concessions that hold, and the report of the shift in one touch.")):
        kiosk.touch(f"question.{question}")
        kiosk.wait_for_screen(screen)
        guide.tell(heading, "h2")
        guide.tell(words)
        guide.show(kiosk, heading)

    guide.tell("From a bar to a unit", "h2")
    guide.tell("Touch a bar, then a unit: its picture with the place of the finding, and its story.")
    touch_to_a_unit(kiosk)
    time.sleep(1.0)  # its picture is read
    guide.show(kiosk, "The story of a unit")

    guide.tell("Release a hold", "h2")
    guide.tell("A unit on hold is accepted by another look only, and only once it was released: say why, and "
               "where the plant wants two people, the second one gives the own PIN.")
    kiosk.touch("question.waiting")
    kiosk.wait_for_screen("review_waiting")
    stories = [t["key"] for t in kiosk.frame()["targets"] if t["key"].startswith("story.")]
    for story in stories:
        kiosk.touch(story)
        kiosk.wait_for_screen("review_story")
        if has("story.release")(kiosk.frame()):
            break
        kiosk.touch("review.back")
        kiosk.wait_for_screen("review_waiting")
    kiosk.touch("story.release")
    guide.show(kiosk, "Why the hold is released")
    kiosk.touch("release_why.settled")
    guide.show(kiosk, "The second person")
    kiosk.touch("second_person.back")


def quality_engineer(kiosk, guide, program, plant):
    kiosk.sign_in("p-58f6a1c2", "4101")
    guide.tell("Let a known finding pass", "h2")
    guide.tell("A concession is a named, limited permission: a number, who permits it, how many units of which "
               "variant, up to which day. It is granted on the story of a unit that has the finding. Such a unit "
               "is never right at the first look, and its finding stays on record.")
    kiosk.touch("review")
    touch_to_a_unit(kiosk)
    kiosk.touch("story.grant")
    if not has("grant.quantity.10")(kiosk.frame()):
        kiosk.touch(first(kiosk, "grant.finding."))
    kiosk.touch("grant.quantity.10")
    guide.show(kiosk, "Up to which day")
    kiosk.touch("grant_until.month")
    type_words(kiosk, "D-17")
    kiosk.touch("keypad.done")
    type_words(kiosk, "CUSTOMER QUALITY")
    kiosk.touch("keypad.done")
    guide.show(kiosk, "The whole sentence, to be granted or not")
    kiosk.touch("grant.yes")
    kiosk.touch("question.next")
    kiosk.touch("concessions")
    kiosk.wait_for_screen("review_concessions")
    guide.show(kiosk, "All concessions")
    kiosk.touch("review.back")
    kiosk.touch("review.back")
    kiosk.wait_for_screen("waiting")

    guide.tell("Teach the camera", "h2")
    guide.tell("Photograph a good unit, draw a box around each component, photograph good ones under changing "
               "light and bad ones, look at how far apart they are, approve. An earlier model can be gone back to; "
               "every change makes the camera's proof due again.")
    kiosk.touch("teach")
    kiosk.wait_for_screen("teach_home")
    guide.show(kiosk, "Teaching")
    kiosk.touch("teach.back")
    kiosk.wait_for_screen("waiting")

    guide.tell("Do inspectors agree?", "h2")
    guide.tell("A study is planned at the command line and rated at the kiosk, blind and in random order. The "
               "grid has an inspector's agreement with the own answers on the diagonal and with the reference at "
               "the margin; read the sentences first.")
    kiosk.touch("study.show")
    kiosk.wait_for_screen("study_results")
    kiosk.touch([t["key"] for t in kiosk.frame()["targets"] if t["key"].startswith("study.")
                 and t["key"] != "study.back"][-1])
    guide.show(kiosk, "What a study came to")

    guide.tell("Numbers with honest limits", "h2")
    guide.tell("Everything that is counted can be asked for at the command line, with its limits, as a table, as "
               "JSON, as a drawing or as a page ('lastlook help').")
    for command in (("pareto",), ("escapes",), ("yield",)):
        guide.run(program, *command, "--dir", plant, shown=(*command, "--dir", "station"))


def worked(program, plant, trace, work):
    kiosk = Kiosk(program, ["demo", "--dir", plant, "--window", "1280x800"], trace, patience_s=120)
    try:
        work(kiosk)
        for frame in kiosk.frames():
            assert "does_not_fit" not in frame, frame
    finally:
        kiosk.close()


def main():
    program, folder = os.path.abspath(sys.argv[1]), sys.argv[2]
    os.makedirs(folder, exist_ok=True)
    guides = {person: Guide(folder, person) for person in PEOPLE}
    with tempfile.TemporaryDirectory() as place:
        plant, trace = os.path.join(place, "demo"), os.path.join(place, "trace.jsonl")
        worked(program, plant, trace, lambda kiosk: inspector(kiosk, guides["inspector"]))
        subprocess.run([program, "demo", "--dir", plant, "--headless"], check=True, capture_output=True)
        worked(program, plant, trace, lambda kiosk: supervisor(kiosk, guides["supervisor"]))
        worked(program, plant, trace, lambda kiosk: quality_engineer(
            kiosk, guides["quality-engineer"], program, plant))
    for guide in guides.values():
        guide.write()
        print(f"{guide.person}.html: {guide.pictures} pictures")


main()
