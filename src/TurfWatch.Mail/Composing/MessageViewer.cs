using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts a message of any kind into the reader's words.</summary>
internal static class MessageViewer
{
    /// <param name="offerLink">The address of a link that writes an offer down; null when there is none to give.</param>
    /// <param name="picture">Gives the picture of a chart a place in the message and says its address there.</param>
    public static MessageView View(
        MessageContent content,
        SenderOptions sender,
        string unsubscribeLink,
        Func<DeedOffer, string?> offerLink,
        PictureMaker picture
    )
    {
        var lawn = content.Lawn;
        var say = new PhraseFormatter(lawn.Units, lawn.Place.Zone, content.Date);
        var offers = OfferViewer.View(content.Offers, say, offerLink);
        return content switch
        {
            Briefing morning => MorningViewer.View(morning, say, Frame, offers),
            SeasonAlert alert => AlertViewer.View(alert, say, Frame, offers),
            SeasonDigest digest => DigestViewer.View(digest, say, Frame, offers, picture),
            _ => throw new ArgumentOutOfRangeException(
                nameof(content),
                content.GetType().Name,
                "write a viewer and a template for this kind of message"
            ),
        };

        FrameView Frame(string verdict, string tone, string preheader) =>
            FrameViewer.View(content, say, sender, unsubscribeLink, verdict, tone, preheader);
    }
}

/// <summary>Makes the frame of the message at hand.</summary>
internal delegate FrameView FrameMaker(string verdict, string tone, string preheader);

/// <summary>Makes the picture of a chart and says the address it has in the HTML part; empty when there is none.</summary>
internal delegate string PictureMaker(Chart chart, PhraseFormatter say);
