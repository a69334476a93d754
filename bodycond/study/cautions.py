"""The cautions that every report and the README carry, in plain words.

Common practice unless a source is named; local rules and the veterinarian in charge come first.
"""

from __future__ import annotations

CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "What this is",
        "Research software. It describes tables of exams; it does not diagnose, triage or "
        "prescribe. A keel score is no diagnosis. Decisions about a bird belong to a licensed "
        "veterinarian, and ranges and limits shown here are provisional: they can be wrong for a "
        "species, race, season or method.",
    ),
    (
        "Talons and beak",
        "A raptor can injure its handler badly. Trained people only, two for the larger species, "
        "gloves to suit the bird, and the feet under control before anything else.",
    ),
    (
        "Infections that pass to people",
        "Treat every bird as possibly infected: avian influenza (an evident injury does not rule "
        "it out), chlamydiosis, salmonellosis, mycobacteria, West Nile virus. Gloves, and mask "
        "and eye protection as the local risk assessment says; wash, change clothes, beware of "
        "needles, and report illness.",
    ),
    (
        "Stress",
        "Cover the head, keep quiet, be quick. Stop at open-mouthed breathing, limpness or "
        "regurgitation. A critically ill bird is not a research subject, and its veterinarian can "
        "withdraw any bird.",
    ),
    (
        "Alcohol on feathers",
        "Alcohol and its vapour burn: keep it from flame, heat lamps, oxygen, electrocautery, "
        "lasers, warm-air devices and static, and ventilate. Wet no more than a narrow strip over "
        "the keel, away from eyes, cere, mouth and wounds. It chills: avoid it in cold, shocked, "
        "small or wet birds and dry the bird before it goes back. Sterile saline is often "
        "preferred. Record what was used.",
    ),
    (
        "Blood",
        "About 1 % of body mass (1 ml per 100 g) is a usual ceiling for one sample from a healthy "
        "bird, and a field handbook halves it; take less, or none, from weak, anaemic or "
        "repeatedly sampled birds, and count what the last two weeks took. Sampling can cost "
        "survival; some field evidence says so and is disputed. The veterinarian decides.",
    ),
    (
        "Law and ethics",
        "Catching, holding, ringing and sampling need licences and ethical review. bodycond "
        "checks none of them.",
    ),
)
"""Heading and text of each caution."""
