using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Join;
using TurfWatch.Host.Telemetry;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Answers;

/// <summary>
/// Deals with one inbound message: what it asks for is done, and told, in one transaction, and never twice, however
/// often the message is read. Changes need the token of a message of ours; leaving needs nothing (the worst that can
/// happen is a goodbye that brings back whoever did not mean it).
/// </summary>
internal sealed partial class AnswerDesk(
    TurfStore store,
    MessageComposer composer,
    LinkTokens tokens,
    JoinDesk joins,
    LawnToday today,
    TimeProvider clock,
    ILogger<AnswerDesk> log
)
{
    /// <summary>Receipts a day to one address; a robot that answers itself gets no further.</summary>
    private const int ReceiptsADay = 5;

    private const double HardBounce = 1;
    private const double SoftBounce = 0.5;
    private const double BouncesTooMany = 2;
    private const int BounceDays = 30;

    private static readonly Duration Patience = Duration.FromHours(24);
    private static readonly Duration UndoWithin = Duration.FromDays(14);

    /// <summary>Deals with it and says in a few words, without any address, what was done.</summary>
    public Task<string> DealAsync(InboundMail mail, CancellationToken cancel) =>
        (mail.Kind, mail.ReplyToken) switch
        {
            (InboundKind.Bounce, _) => BounceAsync(mail, cancel),
            (InboundKind.Complaint, _) => ComplaintAsync(mail.Complaint!, cancel),
            // Whoever writes to the address to leave by leaves, robot or not.
            (_, { } token) when tokens.TryReadLeave(token, out var id) => LeaveAsync(
                id,
                mail,
                cancel
            ),
            (InboundKind.Robot, _) => Task.FromResult("a robot's: left unanswered"),
            (InboundKind.Malformed, _) => Task.FromResult("not readable"),
            (_, { } token) when tokens.TryReadConfirm(token, Now(), out var id) => ConfirmAsync(
                id,
                mail,
                cancel
            ),
            (_, { } token) when tokens.TryReadReply(token, out var id, out var made) => AnswerAsync(
                id,
                made,
                mail,
                cancel
            ),
            _ => StrangerAsync(mail, cancel),
        };

    private async Task<string> BounceAsync(InboundMail mail, CancellationToken cancel)
    {
        if (
            mail.Bounce is not { MessageToken: { } token } bounce
            || !tokens.TryReadBounce(token, out var id)
        )
        {
            return "a delivery report about no message of ours";
        }

        var day = mail.ReceivedAt.InUtc().Date;
        var score = await store.Bounces.CountAsync(
            id,
            day,
            bounce.Permanent ? HardBounce : SoftBounce,
            day.PlusDays(-BounceDays),
            cancel
        );
        if (score < BouncesTooMany)
        {
            return $"a delivery report ({bounce.Status}), counted";
        }

        await store.Subscribers.SetStatusAsync(
            id,
            SubscriberStatus.Suppressed,
            $"mail came back too often, last {bounce.Status}",
            cancel
        );
        Silenced(log, id, bounce.Status);
        return "too many delivery reports: the subscriber is written to no more";
    }

    /// <summary>
    /// Whoever complains gets nothing more, not even a goodbye. The return path proves that the report is about mail to
    /// that reader; then the address is remembered as one never to write to. The address to leave by stands in copies
    /// that people pass on, so it does only what it does elsewhere.
    /// </summary>
    private async Task<string> ComplaintAsync(ComplaintReport complaint, CancellationToken cancel)
    {
        var proven = tokens.TryReadBounce(complaint.MessageToken ?? "", out var id);
        if (!proven && !tokens.TryReadLeave(complaint.LeaveToken ?? "", out id))
        {
            return "a complaint about no message of ours";
        }

        if (await store.Subscribers.OfAsync(id, cancel) is not { } who)
        {
            return "a complaint by somebody who is not on the list";
        }

        if (proven)
        {
            await store.Suppressions.AddAsync(
                joins.HashOf(who.Subscriber.Email),
                "complained",
                cancel
            );
        }

        if (who.Subscriber.Status is not SubscriberStatus.Suppressed)
        {
            await store.Subscribers.SetStatusAsync(
                id,
                proven ? SubscriberStatus.Suppressed : SubscriberStatus.Left,
                $"complained ({complaint.Type})",
                cancel
            );
            ServiceMeter.Left("complaint");
            Silenced(log, id, $"complained ({complaint.Type})");
        }

        return "a complaint: the subscriber is written to no more";
    }

    private async Task<string> ConfirmAsync(long id, InboundMail mail, CancellationToken cancel)
    {
        var answers = Read(mail, UnitSystem.UsCustomary, DateTimeZone.Utc);
        if (answers.Any(a => a is Leave))
        {
            return "a request to confirm, declined";
        }

        // Asked for one word, people use the one that comes to mind.
        return
            (answers.Any(a => a is Confirm) || mail.Lines.Any(l => AssentForm().IsMatch(l)))
            && await joins.ConfirmAsync(id, mail.MessageId, cancel)
            ? "confirmed"
            : "an answer to a request to confirm that did not say yes, or is no longer waited for";
    }

    private async Task<string> StrangerAsync(InboundMail mail, CancellationToken cancel)
    {
        if (AddressRule.Check(mail.From).Normalised is not { } address)
        {
            return "from no address that can be answered";
        }

        var wishes = mail.Lines.Length > 0 ? mail.Lines : [mail.Subject];
        if (
            AnswerReader
                .Read(wishes, Local(DateTimeZone.Utc), UnitSystem.UsCustomary)
                .Any(a => a is Leave)
        )
        {
            return await store.Subscribers.FindAsync(address, cancel) is { } known
                ? await LeaveAsync(known.Subscriber.Id, mail, cancel)
                : "asked to leave, but is not on the list";
        }

        var lawn = JoinReader.Read([mail.Subject, .. mail.Lines]);
        return await joins.AskAsync(address, lawn, JoinDesk.ByMail, mail.MessageId, cancel) switch
        {
            JoinOutcome.Taken => "a request to join",
            JoinOutcome.Closed => "a request to join, which is closed to this address",
            _ => "a request to join, over the limit",
        };
    }

    private async Task<string> LeaveAsync(long id, InboundMail mail, CancellationToken cancel)
    {
        if (await store.Subscribers.OfAsync(id, cancel) is not { } who)
        {
            return "asked to leave, but is not on the list";
        }

        if (who.Subscriber.Status is not (SubscriberStatus.Active or SubscriberStatus.Pending))
        {
            return "asked to leave, and had left already";
        }

        var deedId = DeedId(mail);
        var lawn = who.Lawns.IsEmpty ? null : who.Lawns[0];
        var goodbye = Compose(
            AnswerLetters.Goodbye(who.Subscriber, lawn, Now(), mail.MessageId),
            who.Subscriber,
            deedId
        );
        await store.Deeds.DoAsync(
            new()
            {
                Id = deedId,
                SubscriberId = id,
                Status = SubscriberStatus.Left,
                Reason = "by mail",
                Messages = [goodbye],
            },
            cancel
        );
        ServiceMeter.Left("mail");
        return "left";
    }

    private async Task<string> AnswerAsync(
        long lawnId,
        Instant made,
        InboundMail mail,
        CancellationToken cancel
    )
    {
        if (await store.Lawns.FindAsync(lawnId, cancel) is not { } owned)
        {
            return "about a lawn that is gone";
        }

        var now = Now();
        var lawns = (await store.Subscribers.OfAsync(owned.Subscriber.Id, cancel))!.Lawns;
        var answers = LawnsNamed
            .Of(mail.Lines, lawns, owned.Lawn)
            .Select(l =>
                (
                    l.Lawn,
                    Answers: (List<Answer>)
                        [
                            .. AnswerReader.Read(l.Lines, Local(l.Lawn.Place.Zone), l.Lawn.Units),
                            .. l.Unclear,
                        ]
                )
            )
            .ToList();
        if (answers.Any(a => a.Answers.Exists(said => said is Leave)))
        {
            return await LeaveAsync(owned.Subscriber.Id, mail, cancel);
        }

        if ((now - made).Days > LinkPaths.Answers.Days)
        {
            return await TooOldAsync(owned, mail, cancel);
        }

        var spoken = new List<(Lawn Lawn, AnswerEffect Effect)>();
        foreach (var (lawn, said) in answers)
        {
            var advised = said.Exists(a => a is Did { AsAdvised: true })
                ? await today.FeedingAsync(lawn, cancel)
                : null;
            var date = now.InZone(lawn.Place.Zone).Date;
            spoken.Add((lawn, AnswerEffect.Of(said, lawn, date, advised).Placed(lawns)));
        }

        var deedId = DeedId(mail);
        var takesBack = spoken.Exists(s => s.Effect.Undoes)
            ? await store.Deeds.LastAsync(owned.Subscriber.Id, now - UndoWithin, cancel)
            : null;
        long? done = takesBack ?? (spoken.Exists(s => s.Effect.Does) ? deedId : null);
        var receipts = await ReceiptsAsync(owned, now, cancel);
        var back =
            owned.Subscriber.Status == SubscriberStatus.Left
            && answers.Any(a => a.Answers.Exists(said => said is Resume));
        await store.Deeds.DoAsync(
            spoken[0].Effect.DeedFor(deedId, owned) with
            {
                And =
                [
                    .. spoken
                        .Skip(1)
                        .Where(s => s.Effect.Does)
                        .Select(s => s.Effect.DeedFor(0, owned with { Lawn = s.Lawn })),
                ],
                TakesBack = takesBack,
                Status = back ? SubscriberStatus.Active : null,
                Reason = "by answer",
                Messages =
                    receipts < ReceiptsADay
                        ?
                        [
                            Compose(
                                AnswerLetters.Receipt(spoken, lawns, done, now, mail.MessageId),
                                owned.Subscriber,
                                deedId
                            ),
                        ]
                        : [],
            },
            cancel
        );
        return $"an answer: {spoken.Sum(s => s.Effect.Understood.Length)} understood, {spoken.Sum(s => s.Effect.NotUnderstood.Length)} not";
    }

    // Messages get passed on, and kept: what an old one says is not acted on, but its reader is told how to go on.
    private async Task<string> TooOldAsync(
        OwnedLawn owned,
        InboundMail mail,
        CancellationToken cancel
    )
    {
        var now = Now();
        if (await ReceiptsAsync(owned, now, cancel) < ReceiptsADay)
        {
            await store.Outbox.EnqueueAsync(
                [
                    Compose(
                        AnswerLetters.TooOld(owned.Lawn, now, mail.MessageId),
                        owned.Subscriber,
                        DeedId(mail)
                    ),
                ],
                cancel
            );
        }

        return "an answer to a message that is too old: nothing was done";
    }

    private IReadOnlyList<Answer> Read(InboundMail mail, UnitSystem units, DateTimeZone zone) =>
        AnswerReader.Read(mail.Lines, Local(zone), units);

    private OutboxMessage Compose(Notice notice, Subscriber who, long deedId) =>
        composer.Compose(
            notice,
            who.Id,
            who.Email,
            $"answer:{deedId}",
            notice.MadeAt,
            notice.MadeAt + Patience
        );

    // From the message alone, so that reading it again makes the same deed.
    private static long DeedId(InboundMail mail) =>
        Deed.IdOf($"{mail.MessageId}\n{mail.ReceivedAt}\n{mail.ReplyToken}");

    private LocalDateTime Local(DateTimeZone zone) => Now().InZone(zone).LocalDateTime;

    private Instant Now() => Instant.FromDateTimeOffset(clock.GetUtcNow());

    [LoggerMessage(LogLevel.Warning, "Subscriber {Id} is written to no more: {Status}")]
    private static partial void Silenced(ILogger log, long id, string status);

    [GeneratedRegex(
        @"^\W*(ok(ay)?|sure|yep|yeah|yup|y|i\s+do|agreed|sign\s+me\s+up|subscribe(\s+me)?)([\s,]+(please|pls|thanks|thx|thank\s+you))*\W*$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AssentForm();
}
