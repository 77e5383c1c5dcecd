using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Commands;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Answers;

/// <summary>The receipts that answers get.</summary>
internal static class AnswerLetters
{
    private static readonly ImmutableArray<Phrase> HowToAnswer =
    [
        Phrase.Of($"Answer any message with one thing a line. What you did:"),
        Phrase.Of(
            $"mowed 2 in; fed 5 lb 21-0-0 (or: fed as advised); seeded 10 lb annual rye; germinated; watered 20 min (or 0.5 in); soil 61 (a thermometer at 4 in); pre-emergent; aerated; dethatched. Add a day if it was not today: yesterday, saturday, nov 20."
        ),
        Phrase.Of(
            $"What you want: skip (no more today); pause until jan 10; resume; settings; set height 2.5in; undo; stop. Which messages: no morning; no alerts; digest only; all messages; morning at 6:15; days mon wed sat. Another lawn: add 40502 tall fescue, 3000 sq ft, called cabin."
        ),
    ];

    /// <summary>What came of an answer about one lawn.</summary>
    /// <param name="effect">The answers' effect.</param>
    /// <param name="owned">The lawn.</param>
    /// <param name="deedId">The deed that can be undone; null when none was done.</param>
    /// <param name="now">The present.</param>
    /// <param name="inReplyTo">The message that is answered; null when a page was.</param>
    public static Notice Receipt(
        AnswerEffect effect,
        OwnedLawn owned,
        long? deedId,
        Instant now,
        string? inReplyTo
    ) => Receipt([(owned.Lawn, effect)], [owned.Lawn], deedId, now, inReplyTo);

    /// <summary>What came of an answer, which may be about several of the owner's lawns.</summary>
    /// <param name="spoken">The lawns that it is about, the one whose message was answered first, with the effect on each.</param>
    /// <param name="lawns">All lawns of the owner.</param>
    /// <param name="deedId">The deed that can be undone; null when none was done.</param>
    /// <param name="now">The present.</param>
    /// <param name="inReplyTo">The message that is answered; null when a page was.</param>
    public static Notice Receipt(
        IReadOnlyList<(Lawn Lawn, AnswerEffect Effect)> spoken,
        ImmutableArray<Lawn> lawns,
        long? deedId,
        Instant now,
        string? inReplyTo
    )
    {
        var lawn = spoken[0].Lawn;
        var several = lawns.Length > 1;
        var undoes = spoken.Any(s => s.Effect.Undoes);
        var said = ImmutableArray.CreateBuilder<Phrase>();
        foreach (var (of, effect) in spoken)
        {
            said.AddRange(
                effect.Understood.Select(p => several ? Phrase.Of($"{of.Name}: {p}") : p)
            );
        }

        if (several && spoken.Any(s => s.Effect.PausedUntil is not null))
        {
            said.Add(Phrase.Of($"This holds for all your lawns."));
        }

        if (undoes)
        {
            said.Add(
                deedId is null
                    ? Phrase.Of($"There is nothing of the last two weeks to take back.")
                    : Phrase.Of($"What your last answer did is taken back.")
            );
        }

        foreach (var line in spoken.SelectMany(s => s.Effect.NotUnderstood))
        {
            said.Add(Phrase.Of($"Not understood: {line}"));
        }

        if (spoken.Any(s => s.Effect.WantsSettings))
        {
            said.AddRange(lawns.Select(Settings));
        }

        if (spoken.Any(s => s.Effect.WantsHelp) || said.Count == 0)
        {
            said.AddRange(HowToAnswer);
            if (several)
            {
                said.Add(
                    Phrase.Of(
                        $"You have several lawns: {LawnsNamed.List(lawns)}. A line that names one by its name or ZIP code is about that one; else it is about the lawn of the message you answer."
                    )
                );
            }
        }

        var links = ImmutableArray.CreateBuilder<NoticeLink>();
        if (deedId is { } id && !undoes)
        {
            links.Add(new(Phrase.Of($"Undo this"), LinkPurpose.Undo, id));
        }

        if (!spoken.Any(s => s.Effect.Leaves))
        {
            foreach (var (of, _) in spoken)
            {
                links.Add(
                    new(
                        several
                            ? Phrase.Of($"See the page of {of.Name}")
                            : Phrase.Of($"See your lawn's page"),
                        LinkPurpose.LawnPage,
                        of.Id
                    )
                );
            }
        }

        return new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = now,
            Zone = lawn.Place.Zone,
            Units = lawn.Units,
            LawnId = lawn.Id,
            InReplyTo = inReplyTo,
            Subject = Subject(
                [.. spoken.SelectMany(s => s.Effect.Understood)],
                spoken.Any(s => s.Effect.NotUnderstood.Length > 0),
                undoes,
                spoken.Any(s => s.Effect.WantsSettings)
            ),
            Paragraphs = said.ToImmutable(),
            Links = links.ToImmutable(),
        };
    }

    /// <summary>Says that an old message was answered, and how to get on: this letter can be answered.</summary>
    public static Notice TooOld(Lawn lawn, Instant now, string inReplyTo) =>
        new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = now,
            Zone = lawn.Place.Zone,
            Units = lawn.Units,
            LawnId = lawn.Id,
            InReplyTo = inReplyTo,
            Subject = Phrase.Of($"Nothing was done: the message you answered is too old"),
            Paragraphs =
            [
                Phrase.Of(
                    $"You answered a message that is more than {LinkPaths.Answers.Days} days old. Old messages get passed on, so only one thing is done by answering them: stop."
                ),
                Phrase.Of($"Answer this letter, or any newer message, with the same words."),
            ],
            Links = [new(Phrase.Of($"See your lawn's page"), LinkPurpose.LawnPage, lawn.Id)],
        };

    /// <summary>Says goodbye, with a way back.</summary>
    public static Notice Goodbye(
        Subscriber who,
        Lawn? lawn,
        Instant now,
        string? inReplyTo = null
    ) =>
        new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = now,
            Zone = lawn?.Place.Zone ?? DateTimeZone.Utc,
            Units = lawn?.Units ?? UnitSystem.UsCustomary,
            LawnId = lawn?.Id,
            InReplyTo = inReplyTo,
            Subject = Phrase.Of($"You will get no more lawn messages"),
            Paragraphs =
            [
                Phrase.Of(
                    $"This address is off the list, as asked. A message that was already on its way may still arrive."
                ),
                Phrase.Of(
                    $"If it was not you, or a mistake, the link brings everything back as it was."
                ),
            ],
            Links = [new(Phrase.Of($"Put me back on the list"), LinkPurpose.Rejoin, who.Id)],
        };

    private static Phrase Subject(
        ImmutableArray<Phrase> understood,
        bool somethingWasNot,
        bool undoes,
        bool wantsSettings
    ) =>
        (understood.Length, somethingWasNot) switch
        {
            (0, true) => Phrase.Of($"Not written down: we did not understand"),
            (> 0, true) => Phrase.Of($"Partly written down: see what we did not understand"),
            (> 0, false) => Phrase.Of($"Done: {understood[0]}"),
            _ when undoes => Phrase.Of($"Taken back"),
            _ when wantsSettings => Phrase.Of($"What is set for your lawn"),
            _ => Phrase.Of($"How to answer"),
        };

    private static Phrase Settings(Lawn lawn) =>
        Phrase.Of(
            $"Set for {lawn.Name} ({Grasses.Of(lawn.Grass).Name}): {string.Join("; ", LawnWordsOf.Lawn(lawn).Where(w => w.Key != "name").Select(w => $"{w.Key} {w.Value}"))}."
        );
}
