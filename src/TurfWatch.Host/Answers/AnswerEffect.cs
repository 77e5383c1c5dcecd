using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Commands;
using TurfWatch.Store;

namespace TurfWatch.Host.Answers;

/// <summary>What the answers of one message come to: a deed for the store, and what the receipt says of it.</summary>
internal sealed record AnswerEffect
{
    /// <summary>Lawns that one address can have by answers; more is an operator's business.</summary>
    private const int MostLawns = 10;

    /// <summary>Lines for the journal.</summary>
    public ImmutableArray<JournalEntry> Adds { get; init; } = [];

    /// <summary>The lawn's new profile; null leaves it.</summary>
    public Lawn? Changed { get; init; }

    /// <summary>A lawn to add; null adds none.</summary>
    public Lawn? NewLawn { get; init; }

    /// <summary>Pause until then; null leaves it.</summary>
    public LocalDate? PausedUntil { get; init; }

    /// <summary>The owner wants to leave.</summary>
    public bool Leaves { get; init; }

    /// <summary>The last deed is to be taken back.</summary>
    public bool Undoes { get; init; }

    /// <summary>How to answer is to be told.</summary>
    public bool WantsHelp { get; init; }

    /// <summary>What is set is to be told.</summary>
    public bool WantsSettings { get; init; }

    /// <summary>A request to confirm was answered with yes.</summary>
    public bool Confirms { get; init; }

    /// <summary>What was understood, a sentence each.</summary>
    public ImmutableArray<Phrase> Understood { get; init; } = [];

    /// <summary>What was not, a sentence each.</summary>
    public ImmutableArray<Phrase> NotUnderstood { get; init; } = [];

    /// <summary>Whether anything is to be done that can be undone.</summary>
    public bool Does =>
        Adds.Length > 0
        || Changed is not null
        || NewLawn is not null
        || PausedUntil is not null
        || Leaves;

    /// <summary>Works it out.</summary>
    /// <param name="answers">What the owner wrote.</param>
    /// <param name="lawn">The lawn it is about.</param>
    /// <param name="today">The local date.</param>
    /// <param name="advised">The feeding that the season's windows advise now; null when they advise none.</param>
    public static AnswerEffect Of(
        IEnumerable<Answer> answers,
        Lawn lawn,
        LocalDate today,
        FeedPlan? advised
    ) => answers.Aggregate(new AnswerEffect(), (effect, a) => effect.With(a, lawn, today, advised));

    /// <summary>What is to be done of it, as a deed without messages.</summary>
    public Deed DeedFor(long id, OwnedLawn owned) =>
        new()
        {
            Id = id,
            SubscriberId = owned.Subscriber.Id,
            LawnId = owned.Lawn.Id,
            Adds = Adds,
            Changed = Changed,
            NewLawn = NewLawn,
            PausedUntil = PausedUntil,
        };

    /// <summary>The same with a new lawn told in words, under a name that no other lawn of the owner has; or refused.</summary>
    public AnswerEffect Placed(ImmutableArray<Lawn> lawns)
    {
        if (NewLawn is not { } lawn)
        {
            return this;
        }

        if (lawns.Length >= MostLawns)
        {
            return this with
            {
                NewLawn = null,
                NotUnderstood = NotUnderstood.Add(
                    Phrase.Of($"You have {lawns.Length} lawns, as many as one address can have.")
                ),
            };
        }

        var wanted = lawn.Name.Length > 0 ? lawn.Name : lawn.Place.Name;
        var name = wanted;
        for (var number = 2; lawns.Any(l => Same(l.Name, name)); number++)
        {
            name = $"{wanted} {number}";
        }

        return this with
        {
            NewLawn = lawn with { Name = name },
            Understood = Understood.Add(
                Phrase.Of(
                    $"Added: {name}, {lawn.Place.Name}, {lawn.Place.State} {lawn.Place.Zip}, {Grasses.Of(lawn.Grass).Name}. Its messages name it; begin a line with \"{name}\" or \"{lawn.Place.Zip}\" to write about it."
                )
            ),
        };

        static bool Same(string a, string b) =>
            string.Equals(a, b, StringComparison.OrdinalIgnoreCase);
    }

    private AnswerEffect With(Answer answer, Lawn lawn, LocalDate today, FeedPlan? advised) =>
        answer switch
        {
            Did did => Done(did, Changed ?? lawn, advised),
            SkipToday => Pausing(
                today.PlusDays(1),
                Phrase.Of($"No more messages today; they go on tomorrow.")
            ),
            Pause { Until: { } until } => Pausing(until, Phrase.Of($"No messages until {until}.")),
            Pause => Pausing(
                LocalDate.MaxIsoValue,
                Phrase.Of($"No messages until you answer: resume.")
            ),
            Resume => Pausing(today, Phrase.Of($"The messages go on.")),
            Change change => Changing(change, Changed ?? lawn),
            Messages wish => Wanting(wish, Changed ?? lawn),
            AddLawn another => Adding(another.Lawn),
            Leave => this with { Leaves = true },
            Undo => this with { Undoes = true },
            Help => this with { WantsHelp = true },
            ShowSettings => this with { WantsSettings = true },
            Confirm => this with { Confirms = true },
            NotUnderstood not => this with
            {
                NotUnderstood = NotUnderstood.Add(Phrase.Of($"\"{not.Line}\": {not.Why}.")),
            },
            _ => throw new InvalidOperationException($"no rule for {answer}"),
        };

    private AnswerEffect Pausing(LocalDate until, Phrase said) =>
        this with
        {
            PausedUntil = until,
            Understood = Understood.Add(said),
        };

    private AnswerEffect Changing(Change change, Lawn lawn)
    {
        var words = LawnWordsOf.Lawn(lawn);
        if (Empties(change))
        {
            words.Remove(change.Word);
        }
        else
        {
            words[change.Word] = change.Value;
        }

        var faults = new List<string>();
        var place = lawn.Place;
        if (change.Word == "zone")
        {
            var answer = Weather.Places.ZipDirectory.WithZone(place, change.Value);
            if (answer.Problem is { } problem)
            {
                faults.Add($"zone is '{change.Value}': {problem}");
            }

            place = answer.Place ?? place;
            words.Remove("zone");
        }

        var changed = LawnWords.Changed(lawn, words, place, faults);
        return faults.Count > 0
            ? this with
            {
                NotUnderstood =
                [
                    .. NotUnderstood,
                    .. faults.Select(f =>
                        Phrase.Of($"{f.Replace("--", "", StringComparison.Ordinal)}")
                    ),
                ],
            }
            : this with
            {
                Changed = changed,
                Understood = Understood.Add(
                    Phrase.Of($"Set: {change.Word} is now {change.Value}.")
                ),
            };
    }

    // "set overseed none", "days any": back to what holds when nothing is told.
    private static bool Empties(Change change) =>
        (change.Word, change.Value.Trim('.', '!').ToLowerInvariant()) switch
        {
            ("days" or "water-days", "any" or "every" or "all" or "none" or "no") => true,
            (
                "overseed"
                    or "height"
                    or "area"
                    or "sprinkler"
                    or "fertilizer"
                    or "soil-test",
                "no"
                    or "none"
                    or "nothing"
                    or "unknown"
            ) => true,
            _ => false,
        };

    private AnswerEffect Adding(Lawn lawn) =>
        NewLawn is not null
            ? this with
            {
                NotUnderstood = NotUnderstood.Add(
                    Phrase.Of($"One lawn a message: write the next one in another answer.")
                ),
            }
            : this with
            {
                NewLawn = lawn,
            };

    private AnswerEffect Wanting(Messages wish, Lawn lawn)
    {
        var changed = lawn with
        {
            Morning = wish.Morning ?? lawn.Morning,
            Alerts = wish.Alerts ?? lawn.Alerts,
            DigestDay = wish.Digest switch
            {
                true => lawn.DigestDay ?? IsoDayOfWeek.Saturday,
                false => null,
                null => lawn.DigestDay,
            },
        };
        return this with { Changed = changed, Understood = Understood.Add(Wanted(changed)) };
    }

    /// <summary>Which messages a lawn has, in a sentence.</summary>
    private static Phrase Wanted(Lawn lawn)
    {
        var digest = lawn.DigestDay is { } day ? $"the digest each {day}" : "no digest";
        var alerts = lawn.Alerts ? "alerts as the season turns" : "no alerts";
        return (lawn.Morning, lawn.Alerts || lawn.DigestDay is not null) switch
        {
            (true, _) => Phrase.Of(
                $"Messages: each morning at {lawn.MessageTime}; {alerts}; {digest}."
            ),
            (false, true) => Phrase.Of($"Messages: no morning message; {alerts}; {digest}."),
            (false, false) => Phrase.Of(
                $"Messages: none any more. You stay on the list and may answer; to leave it, answer: stop."
            ),
        };
    }

    private AnswerEffect Done(Did did, Lawn lawn, FeedPlan? advised)
    {
        var (entry, trouble) = JournalOf.Deed(did, lawn, advised);
        return entry is null
            ? this with
            {
                NotUnderstood = NotUnderstood.Add(trouble!),
            }
            : this with
            {
                Adds = Adds.Add(entry),
                Understood = trouble is null
                    ? Understood.Add(JournalOf.InWords(entry))
                    : Understood.AddRange(JournalOf.InWords(entry), trouble),
            };
    }
}
