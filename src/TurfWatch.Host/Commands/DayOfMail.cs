using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>One thing that is so about a person's mail of a day.</summary>
internal sealed record MailFact(string About, string Says);

/// <summary>What became of a person's mail on a local day, and why.</summary>
internal sealed class DayOfMail(Dossier person, OutboxHold? hold, JobsOptions jobs, Instant now)
{
    /// <param name="asked">The local date; null: today, in the zone of each lawn.</param>
    public IEnumerable<MailFact> Tell(LocalDate? asked)
    {
        yield return new("subscriber", Standing());
        if (person.Suppressed is { } why)
        {
            yield return new("subscriber", $"a mark says never to write to the address: {why}");
        }

        if (hold is not null)
        {
            yield return new("outbox", hold.Sentence);
        }

        if (person.Lawns.IsEmpty)
        {
            yield return new("lawns", "none, so nothing is owed");
        }

        var told = new HashSet<long>();
        foreach (var lawn in person.Lawns)
        {
            var zone = lawn.Lawn.Place.Zone;
            var date = asked ?? now.InZone(zone).Date;
            var about = $"lawn {lawn.Lawn.Id} '{lawn.Lawn.Name}', {date:uuuu-MM-dd}";
            yield return new(about, Morning(lawn, date));
            foreach (var message in OfDay(date, zone).Where(m => told.Add(m.Id)))
            {
                yield return new(about, InWords(message, zone));
            }
        }
    }

    private string Standing()
    {
        var pause = person.PausedUntil is { } until
            ? until.Year == 9999
                ? "; paused until they resume"
                : $"; paused until {until:uuuu-MM-dd}"
            : "";
        return $"{Words.Kebab(person.Subscriber.Status.ToString())} since {OutboxListCommand.Short(person.StatusAt)}{(person.StatusReason is { } reason ? $" ({AddressMask.In(reason)})" : "")}{pause}";
    }

    private string Morning(HeldLawn held, LocalDate date)
    {
        var lawn = held.Lawn;
        var due = LocalDue.At(date, lawn.MessageTime, lawn.Place.Zone);
        var at = $"{lawn.MessageTime:HH:mm} {lawn.Place.ZoneId}, that is {due}";
        var key = DueMorning.KeyOf(date, lawn.Id);
        if (
            person.Messages.FirstOrDefault(m => m.Kind == MessageKind.Morning && m.Key == key) is
            { } message
        )
        {
            return $"its morning message was due at {at}: {Became(message)} (message {message.Id})";
        }

        var late = Duration.FromTimeSpan(jobs.MorningLate);
        return $"no morning message: "
            + (
                !lawn.Morning ? "its owner wants none"
                : due < held.CreatedAt
                    ? $"it was due at {at}, before the lawn was added ({OutboxListCommand.Short(held.CreatedAt)})"
                : person.PausedUntil > date ? "the owner has paused"
                : person.Subscriber.Status != SubscriberStatus.Active
                    ? $"the subscriber is {Words.Kebab(person.Subscriber.Status.ToString())}, and mail goes to active ones only"
                : due > now ? $"it is due at {at}; until then nothing is sent"
                : hold is { IsRestored: true }
                    ? "this is a restored copy, which makes none until it is released"
                : now < due + late
                    ? $"it was due at {at} and is not made yet: the service is not running, or waits for a forecast ('turfwatch check' tells)"
                : person.StatusAt > due ? $"it was due at {at}, before the subscriber became active"
                : $"it was due at {at}, and no service ran while its window was open, or a defect kept it back (the log of that hour tells)"
            );
    }

    private IEnumerable<OutboxMessage> OfDay(LocalDate date, DateTimeZone zone) =>
        person.Messages.Where(m =>
            m.Kind != MessageKind.Morning && m.NotBefore.InZone(zone).Date == date
        );

    private static string InWords(OutboxMessage message, DateTimeZone zone) =>
        $"a message of kind {Words.Kebab(message.Kind.ToString())}, due at {message.NotBefore.InZone(zone).TimeOfDay:HH:mm}: {Became(message)} (message {message.Id})";

    private static string Became(OutboxMessage message)
    {
        var means = OutboxShowCommand.Means(message.State, sentAgain: false);
        return message.LastReply is { Length: > 0 } reply
            ? $"{means} ({AddressMask.In(reply)})"
            : means;
    }
}
