using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;

namespace TurfWatch.Fuzz.Targets;

/// <summary>Tokens in links and addresses: none is good but those that were given out, and only for their purpose.</summary>
internal static class TokenTargets
{
    private static readonly Instant Now = Instant.FromUtc(2026, 11, 25, 15, 0);

    public static IEnumerable<FuzzTarget> Make()
    {
        var folder = Directory.CreateTempSubdirectory("turfwatch-fuzz-").FullName;
        var tokens = LinkTokens.Open(folder);
        Directory.Delete(folder, recursive: true);
        var links = new Dictionary<string, string>(StringComparer.Ordinal)
        {
            [tokens.Issue(MessageComposer.UnsubscribePurpose, 7)] = "unsubscribe 7",
        };
        foreach (var purpose in Enum.GetValues<LinkPurpose>())
        {
            links[tokens.Issue(purpose, 7, Now + Duration.FromDays(1))] = $"{purpose} 7";
            links[tokens.Issue(purpose, 8)] = $"{purpose} 8";
            links[tokens.Issue(purpose, 9, Now - Duration.FromDays(1))] = $"{purpose} 9";
        }

        var offer = new DeedOffer(JournalKind.Mowed, new LocalDate(2026, 11, 24), 5);
        links[tokens.Issue(offer, 7, Now + Duration.FromDays(1))] = "offer 7";
        links[tokens.Issue(offer, 9, Now - Duration.FromDays(1))] = "offer 9";
        var addresses = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase)
        {
            [tokens.ReplyTokenFor(7, Now)] = "reply 7",
            [tokens.ConfirmTokenFor(7, Now + Duration.FromDays(1))] = "confirm 7",
            [tokens.LeaveTokenFor(7)] = "leave 7",
            [tokens.BounceToken(7, MessageKind.Morning, "k")] = "bounce 7",
        };
        yield return new("link-tokens", input => Links(tokens, links, Text(input)))
        {
            MoreSeeds = [.. links.Keys.Select(Encoding.UTF8.GetBytes)],
            Words = ["v1", "v2", "v3", "."],
        };
        yield return new("address-tokens", input => Addresses(tokens, addresses, Text(input)))
        {
            MoreSeeds = [.. addresses.Keys.Select(Encoding.UTF8.GetBytes)],
            Words = ["r", "c", "u", "b", "a234567"],
        };
    }

    private static string Text(byte[] input) => Encoding.UTF8.GetString(input);

    private static void Links(LinkTokens tokens, Dictionary<string, string> given, string token)
    {
        if (tokens.TryRead(MessageComposer.UnsubscribePurpose, token, out var id))
        {
            Given(given, token, $"unsubscribe {id}");
        }

        if (tokens.ReadOffer(token, Now) is { } read)
        {
            Given(given, token, $"offer {read.LawnId}");
            Promise.Holds(read.LawnId != 9, "an offer good after its time");
        }

        foreach (var purpose in Enum.GetValues<LinkPurpose>())
        {
            if (tokens.TryRead(purpose, token, Now, out id))
            {
                Given(given, token, $"{purpose} {id}");
                Promise.Holds(id != 9, "a token good after its time");
            }
        }
    }

    private static void Addresses(LinkTokens tokens, Dictionary<string, string> given, string token)
    {
        if (tokens.TryReadReply(token, out var id, out _))
        {
            Given(given, token, $"reply {id}");
        }

        if (tokens.TryReadConfirm(token, Now, out id))
        {
            Given(given, token, $"confirm {id}");
        }

        if (tokens.TryReadLeave(token, out id))
        {
            Given(given, token, $"leave {id}");
        }

        if (tokens.TryReadBounce(token, out id))
        {
            Given(given, token, $"bounce {id}");
        }
    }

    private static void Given(Dictionary<string, string> given, string token, string what) =>
        Promise.Holds(given.TryGetValue(token, out var known) && known == what, "a forged token");
}
